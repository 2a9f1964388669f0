"""Takes a telling apart: what is said to be wrong, of which strings, and what is fine."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from logic.bench.telling.strings_named import Named, strings_named
from logic.bench.telling.unheard import longest_unheard, unheard
from logic.bench.telling.vocabulary import (
    BEHIND,
    EXCEPT,
    FINE,
    JOIN,
    NEGATION,
    NEUTRAL,
    NO_NEGATION,
    NOR,
    ONLY,
    PART,
    Found,
    Vocabulary,
)
from logic.bench.telling.words import Word, prepared
from shared.instrument import Instrument

NEAR = 5
"""How many words a negation reaches."""
TRAILING = 2
"""How many words may follow one that denies what stands before it: schnarrt nicht mehr."""
AWFUL = "awful"
_SENTENCE = re.compile(r"(?<=[.!?;])(?<![0-9]\.)\s+|[;\n]+")
_PIECE = re.compile(r"[,:()–—]|\s-\s")


@dataclass(frozen=True)
class Statement:
    """One thing that was told: meanings that hold, meanings that were denied, and its strings."""

    holds: frozenset[str] = frozenset()
    denied: frozenset[str] = frozenset()
    strings: frozenset[int] = frozenset()
    of_all: bool = False
    """Whether it was said of every string in so many words."""
    negated: bool = False
    """Whether a negation stands in it at all."""
    fine: bool = False
    """Whether it says that all is well."""
    only: bool = False
    bare_no: bool = False
    """Whether it denies what was said before, and nothing of its own: *open chords not*."""


@dataclass(frozen=True)
class Sentence:
    """One sentence as it was written, and what it states."""

    text: str
    statements: tuple[Statement, ...] = ()
    spoken: bool = True
    """False where nothing in it is known here."""
    unheard: str = ""
    """A longer row of words in it that mean nothing here."""


def sentences_of(text: str, instrument: Instrument, vocabulary: Vocabulary) -> tuple[Sentence, ...]:
    """What each sentence of `text` states."""
    read = _Reading(instrument, vocabulary)
    written = (part.strip() for part in _SENTENCE.split(text))
    return tuple(read.sentence(part) for part in written if part)


@dataclass(frozen=True)
class _Piece:
    """The words between two commas, the strings named there, and every meaning."""

    words: tuple[Word, ...]
    named: tuple[Named, ...]
    found: list[Found]


@dataclass(frozen=True)
class _Part:
    """Some words of a sentence between commas and conjunctions."""

    found: tuple[Found, ...]
    named: tuple[Named, ...]
    end: int
    """Where its last word ends."""
    all_named: bool
    joined: bool
    """Whether it follows the one before it by an *and*."""

    def has(self, meaning: str) -> bool:
        """Whether a word of this meaning stands in it."""
        return any(one.meaning == meaning for one in self.found)


@dataclass
class _Reading:
    instrument: Instrument
    vocabulary: Vocabulary
    earlier: list[Statement] = field(default_factory=list)
    """Statements of the sentences before this one, to which a bare detail belongs."""

    def sentence(self, text: str) -> Sentence:
        """What one sentence states, what went before in mind."""
        pieces = [self._piece(piece) for piece in _PIECE.split(prepared(text))]
        parts = [part for piece in pieces for part in self._parts(piece)]
        statements = self._statements(parts)
        self.earlier += statements
        known = any(part.found or part.named for part in parts)
        common = self.vocabulary.common
        each = (word for one in pieces for word in unheard(one.words, one.found, one.named, common))
        return Sentence(text, tuple(statements), known, longest_unheard(each))

    def _piece(self, text: str) -> _Piece:
        words = self.vocabulary.words(text)
        named = strings_named(words, self.instrument, self.vocabulary.strings)
        found = self.vocabulary.find(words, ((one.start, one.end) for one in named))
        return _Piece(words, named, found)

    def _parts(self, piece: _Piece) -> list[_Part]:
        words, named, found = piece.words, piece.named, piece.found
        everything = set(self.vocabulary.strings.everything)
        cuts = self._cuts(found, named)
        starts = [0, *(cut.start for cut in cuts)]
        ends = [*(cut.start for cut in cuts), len(words)]
        joins = [False, *(cut.meaning == JOIN for cut in cuts)]
        return [
            _Part(
                found=tuple(one for one in found if start <= one.start < end),
                named=tuple(one for one in named if start <= one.start < end),
                end=end,
                all_named=any(word.folded in everything for word in words[start:end]),
                joined=joined,
            )
            for start, end, joined in zip(starts, ends, joins, strict=True)
            if start < end
        ]

    def _cuts(self, found: Sequence[Found], named: Sequence[Named]) -> list[Found]:
        """Conjunctions at which a new part begins: those before which something was told, and none
        inside the name of strings."""
        inside = {place for name in named for place in range(name.start + 1, name.end)}
        cuts: list[Found] = []
        tells = False
        for one in found:
            if one.meaning in (PART, JOIN) and tells and one.start not in inside:
                cuts.append(one)
                tells = False
            tells = tells or one.meaning in self._telling
        return cuts

    @cached_property
    def _telling(self) -> frozenset[str]:
        """Meanings that tell something by themselves."""
        table = self.vocabulary.table
        return frozenset({*table.faults, *table.happenings, FINE})

    @cached_property
    def _faults(self) -> frozenset[str]:
        return frozenset(self.vocabulary.table.faults)

    def _statements(self, parts: Sequence[_Part]) -> list[Statement]:
        """Each part that says what is wrong, what happened or that all is well is a statement; a
        part that only says where or when belongs to the one before it, or else to the next."""
        made: list[Statement] = []
        waiting: list[Statement] = []
        for part in parts:
            said = self._said(part)
            if said.bare_no and not self._tells(said):
                said = _denial(said, made)
            elif not self._tells(said):
                self._add_detail(said, made, waiting)
                continue
            for detail in waiting:
                said = _joined(said, detail)
            waiting.clear()
            self._add(said, made, part.joined)
        return made or self._details_alone(waiting)

    def _add(self, said: Statement, made: list[Statement], joined: bool) -> None:
        faults = set(self.vocabulary.table.faults)
        if made and joined and said.holds & faults and said.holds & faults <= made[-1].holds:
            made[-1] = _joined(made[-1], said)  # sharper and sharper
        else:
            made.append(_of_the_same(said, made[-1]) if made and joined else said)

    def _add_detail(self, said: Statement, made: list[Statement], waiting: list[Statement]) -> None:
        if made:
            made[-1] = self._with_detail(made[-1], said)
        else:
            waiting.append(said)

    def _details_alone(self, waiting: Sequence[Statement]) -> list[Statement]:
        """A sentence that only says where or when: it belongs to what was told before it."""
        made = self.earlier[-1] if self.earlier else Statement()
        details = [one for one in waiting if one.holds or one.denied or one.strings]
        for detail in details:
            made = self._with_detail(made, detail)
        return [made] if details else []

    def _tells(self, said: Statement) -> bool:
        return said.fine or bool(said.holds & self._telling)

    def _with_detail(self, said: Statement, detail: Statement) -> Statement:
        """*It buzzes, but only open* is an open buzz; *it does not buzz open, only fretted* is a
        fretted one."""
        faults = said.denied & set(self.vocabulary.table.faults)
        if said.fine and faults and detail.only:
            held = (said.denied & faults) | detail.holds
            return replace(detail, holds=held, denied=said.holds | detail.denied)
        return _joined(said, detail)

    def _said(self, part: _Part) -> Statement:
        denied, bare = _denied(part)
        if denied and denied >= set(part.named) and all(isinstance(o, Named) for o in denied):
            denied |= {one for one in part.found if one.meaning in self._faults}
        meanings = {one for one in part.found if not one.meaning.startswith("*")}
        holds = frozenset(one.meaning for one in meanings if one not in denied)
        refused = frozenset(one.meaning for one in meanings if one in denied)
        fine = {one for one in part.found if one.meaning == FINE}
        if fine & denied:
            holds |= {AWFUL}
        return Statement(
            holds=holds,
            denied=refused,
            strings=self._strings(part, denied),
            of_all=part.all_named,
            negated=part.has(NEGATION),
            fine=not holds & self._faults and (bool(fine - denied) or bool(refused & self._faults)),
            only=part.has(ONLY),
            bare_no=bare,
        )

    def _strings(self, part: _Part, denied: set[Found | Named]) -> frozenset[int]:
        """The strings a part names; where it leaves some out (*not the G*, *all except the G*),
        all others."""
        left_out = {one for one in part.named if one in denied}
        if part.all_named and part.has(EXCEPT):
            left_out = set(part.named)
        named = frozenset(s for one in part.named if one not in left_out for s in one.strings)
        if named or not left_out:
            return named
        every = frozenset(spec.string for spec in self.instrument.strings)
        return every - {string for one in left_out for string in one.strings}


def _denial(said: Statement, made: Sequence[Statement]) -> Statement:
    """*Barre chords are fine, open chords not* says that these are bad; *barre chords buzz, open
    chords not* that these are well."""
    if made and not made[-1].fine:
        return replace(said, holds=frozenset(), denied=said.holds, fine=True)
    return replace(said, holds=said.holds | {AWFUL})


def _denied(part: _Part) -> tuple[set[Found | Named], bool]:
    """What the negations of a part deny, and whether one stands there denying nothing in it. Two
    of them cancel out: *cannot press it without pain*."""
    negations = [one for one in part.found if one.meaning == NEGATION]
    if len({one.start for one in negations}) != 1:
        return set(), False
    (place, *_) = negations
    stop = min((one.start for one in part.found if _stops(one, place)), default=part.end)
    targets: list[Found | Named] = [
        *(one for one in part.found if one.meaning not in _SMALL and one.start != place.start),
        *part.named,
    ]
    after = [one for one in targets if place.end <= one.start < min(place.end + NEAR, stop)]
    if after:
        return _first_of(after) | _carried_on(part, place, targets), False
    if part.end - place.end > TRAILING or not part.has(BEHIND):
        return set(), False
    before = [one for one in targets if 0 <= place.start - one.end < NEAR]
    return _before(before) if before else (set(), True)


def _carried_on(
    part: _Part, negation: Found, targets: Sequence[Found | Named]
) -> set[Found | Named]:
    """What a *nor* behind the negation denies too."""
    places = [one.end for one in part.found if one.meaning == NOR and one.start > negation.start]
    each = ([one for one in targets if 0 <= one.start - place < NEAR] for place in places)
    return {one for after in each if after for one in _first_of(after)}


def _stops(one: Found, negation: Found) -> bool:
    """Whether a negation does not reach past this conjunction."""
    return one.meaning in (JOIN, PART) and one.start > negation.start


def _first_of(after: Sequence[Found | Named]) -> set[Found | Named]:
    """The first thing behind a negation, and what means the same."""
    start = min(one.start for one in after)
    first = {one for one in after if one.start == start}
    meanings = {one.meaning for one in first if isinstance(one, Found)}
    return first | {one for one in after if isinstance(one, Found) and one.meaning in meanings}


def _before(before: Sequence[Found | Named]) -> tuple[set[Found | Named], bool]:
    """A negation behind a word denies it: *schnarrt nicht*. Behind words that only say where, it
    denies that all is well: *open chords not*."""
    last = max(one.end for one in before)
    near = {one for one in before if one.end == last}
    where = all(isinstance(one, Named) or one.meaning in _WHERE for one in near)
    return (set(), True) if where else (near, False)


_SMALL = (NEUTRAL, NEGATION, NO_NEGATION, PART, JOIN, ONLY, EXCEPT, BEHIND, NOR, "time", "courtesy")
_WHERE = frozenset(
    {"open", "fretted", "at_fret", "near_nut", "nut_end", "high_up", "chord", "barre", "capo"}
)


def _joined(said: Statement, detail: Statement) -> Statement:
    return replace(
        said,
        holds=said.holds | detail.holds,
        denied=said.denied | detail.denied,
        strings=said.strings | detail.strings,
        of_all=said.of_all or detail.of_all,
        negated=said.negated or detail.negated,
    )


def _of_the_same(said: Statement, before: Statement) -> Statement:
    """*The G buzzes and feels stiff*: the second is said of the G as well."""
    if said.strings or said.of_all or "chord" in said.holds:
        return said
    return replace(said, strings=before.strings)
