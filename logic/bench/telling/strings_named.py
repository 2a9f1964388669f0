"""The strings that are named in people's words: the G, low E, third string, die tiefe E-Saite."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from logic.bench.telling.words import Word, fold
from shared.instrument import Instrument, Make, StringSpec
from shared.pitch import Pitch

if TYPE_CHECKING:
    from logic.bench.tables.tellings import StringWords

_LETTER = re.compile(r"([a-h])(b|#|♯|♭)?", re.IGNORECASE)
_PITCH = re.compile(r"([A-H])(b|#|♯|♭)?([0-9])")
_PLAIN = (Make.PLAIN_STEEL, Make.NYLON, Make.FLUOROCARBON, Make.GUT)


@dataclass(frozen=True)
class Named:
    """Strings that the words from `start` up to `end` name."""

    strings: frozenset[int]
    start: int
    end: int


@dataclass(frozen=True)
class _Words:
    """How strings are spoken of, each list folded."""

    table: StringWords

    @cached_property
    def lists(self) -> dict[str, frozenset[str]]:
        return {
            name: frozenset(map(fold, words))
            for name, words in self.table.model_dump().items()
            if name != "numbers"
        }

    @cached_property
    def numbers(self) -> dict[str, int]:
        return {fold(word): number for word, number in self.table.numbers.items()}

    def has(self, name: str, word: Word | None) -> bool:
        return word is not None and word.folded in self.lists[name]


def strings_named(
    words: Sequence[Word], instrument: Instrument, table: StringWords
) -> tuple[Named, ...]:
    """Every naming of strings, left to right, of the longest words that make one."""
    reader = _Reader(words, instrument, _Words(table))
    named: list[Named] = []
    start = 0
    while start < len(words):
        found = reader.at(start)
        if found is not None:
            named.append(found)
        start = found.end if found is not None else start + 1
    return tuple(named)


@dataclass(frozen=True)
class _Reader:
    words: Sequence[Word]
    instrument: Instrument
    means: _Words

    def word(self, place: int) -> Word | None:
        return self.words[place] if 0 <= place < len(self.words) else None

    def at(self, start: int) -> Named | None:
        """The naming that begins here; None where none does."""
        ways = (self._exact, self._numbered, self._ordinal, self._letter, self._kind)
        made = (way(start) for way in ways)
        return next((each for each in made if each is not None), None)

    def _named(self, specs: Iterable[StringSpec], start: int, end: int) -> Named | None:
        strings = frozenset(spec.string for spec in specs)
        return Named(strings, start, end) if strings else None

    def _exact(self, start: int) -> Named | None:
        """E2: the string of just this pitch; B3 is B♭3, as in Germany, where no string is B3."""
        found = _PITCH.fullmatch(self.words[start].written)
        if not found:
            return None
        letter = "B" if found[1] == "H" else found[1]
        alter = {"b": -1, "♭": -1, "#": 1, "♯": 1}.get(found[2] or "", 0)
        pitch = Pitch(letter, alter, int(found[3]))
        could_be = [pitch.midi, pitch.midi - 1] if found[1] == "B" and not alter else [pitch.midi]
        for midi in could_be:
            same = [spec for spec in self.instrument.strings if spec.pitch.midi == midi]
            if same:
                return self._named(same, start, start + 1)
        return None

    def _numbered(self, start: int) -> Named | None:
        """String 3, Saite 3, strings 3 and 4."""
        if not self.means.has("string", self.word(start)):
            return None
        end = start + 2 if self._is_filler(start + 1) else start + 1
        numbers, end = self._numbers(end)
        return self._named(self._numbered_specs(numbers), start, end) if numbers else None

    def _is_filler(self, place: int) -> bool:
        word = self.word(place)
        return word is not None and word.folded in ("number", "no", "nr", "nummer")

    def _numbers(self, place: int) -> tuple[list[int], int]:
        numbers: list[int] = []
        while (word := self.word(place)) is not None and word.folded.isdecimal():
            numbers.append(int(word.folded[:3]))
            place += 1
            after = self.word(place)
            following = self.word(place + 1)
            joined = after is not None and after.folded in ("and", "und", "or", "oder")
            if joined and following is not None and following.folded.isdecimal():
                place += 1
        return numbers, place

    def _numbered_specs(self, numbers: Iterable[int]) -> list[StringSpec]:
        wanted = set(numbers)
        return [spec for spec in self.instrument.strings if spec.string in wanted]

    def _ordinal(self, start: int) -> Named | None:
        """The third string, 3. Saite, the first and second strings."""
        place, numbers = start, []
        while (number := self._number_at(place)) is not None:
            numbers.append(number)
            place += 1
            word = self.word(place)
            if word is not None and word.folded in ("and", "und", "or", "oder"):
                place += 1
        if not numbers or not self.means.has("string", self.word(place)):
            return None
        return self._named(self._numbered_specs(numbers), start, place + 1)

    def _number_at(self, place: int) -> int | None:
        word = self.word(place)
        if word is None:
            return None
        digits = re.fullmatch(r"([0-9]{1,2})(?:te[nrs]?|ter)", word.folded)
        return int(digits[1]) if digits else self.means.numbers.get(word.folded)

    def _letter(self, start: int) -> Named | None:
        """The G, low E, die tiefe E-Saite."""
        first = self.word(start)
        sided = self.means.has("lowest", first) or self.means.has("highest", first)
        place = start + 1 if sided else start
        letter = self.word(place)
        if letter is None or not self._is_name(place, sided):
            return None
        specs = self._of_letter(letter)
        if sided:
            specs = self._end_of(specs, lowest=self.means.has("lowest", first))
        with_word = self.means.has("string", self.word(place + 1))
        return self._named(self._whole_courses(specs), start, place + (2 if with_word else 1))

    def _is_name(self, place: int, sided: bool) -> bool:
        """Whether the letter here is a string's name, and no article, chord or key."""
        word, before, after = self.words[place], self.word(place - 1), self.word(place + 1)
        if not _LETTER.fullmatch(word.written):
            return False
        if word.written == "a":
            return False  # an article
        if self.means.has("string", after):
            return True
        if self.means.has("no_string_after", after) or self.means.has("no_string_before", before):
            return False
        pointed = sided or self.means.has("pointers", before) or self._joined_to_a_letter(place)
        if word.written == "A":
            return pointed
        return pointed or word.written[0].isupper()

    def _joined_to_a_letter(self, place: int) -> bool:
        """Whether another letter follows behind an *and*: h und g."""
        joint, letter = self.word(place + 1), self.word(place + 2)
        joins = joint is not None and joint.folded in ("and", "und", "or", "oder")
        return joins and letter is not None and bool(_LETTER.fullmatch(letter.written))

    def _of_letter(self, word: Word) -> list[StringSpec]:
        found = _LETTER.fullmatch(word.written)
        assert found
        letter = "B" if found[1].upper() == "H" else found[1].upper()
        alter = {"b": -1, "♭": -1, "#": 1, "♯": 1}.get((found[2] or "").lower(), 0)
        named = [s for s in self.instrument.strings if s.pitch.letter == letter]
        exact = [spec for spec in named if spec.pitch.alter == alter]
        return exact or ([] if found[2] else named)

    def _end_of(self, specs: list[StringSpec], lowest: bool) -> list[StringSpec]:
        """Of strings of one letter the lowest or the highest."""
        if not specs:
            return []
        pick = min if lowest else max
        end = pick(spec.pitch.midi for spec in specs)
        return [spec for spec in specs if spec.pitch.midi == end]

    def _whole_courses(self, specs: list[StringSpec]) -> list[StringSpec]:
        """With each string the others of its course: a pair goes by one name."""
        courses = {spec.course for spec in specs} - {None}
        return [*specs, *(s for s in self.instrument.strings if s.course in courses)]

    def _kind(self, start: int) -> Named | None:
        """The wound strings, the treble strings; the lowest string."""
        word, after = self.words[start], self.word(start + 1)
        if not self.means.has("string", after):
            return None
        assert after is not None
        many = after.folded in ("strings", "saiten")
        strings = self.instrument.strings
        if many and self.means.has("wound", word):
            return self._named((s for s in strings if s.make not in _PLAIN), start, start + 2)
        if many and self.means.has("plain", word):
            return self._named((s for s in strings if s.make in _PLAIN), start, start + 2)
        for name, lowest in (("lowest", True), ("highest", False)):
            if self.means.has(name, word):
                end = self._whole_courses(self._end_of(list(strings), lowest))
                return self._named(end, start, start + 2)
        return None
