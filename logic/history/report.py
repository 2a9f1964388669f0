"""What opening, importing or checking a history found, in a person's words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from shared.errors import HistoryError
from shared.plain_json import Unfit
from shared.words import listed, mark, say, say_many

MOST_CLOCKS = 3
"""Devices whose clocks are told of one by one."""
MOST_NAMED = 4
"""Devices that a sentence names; of more it says how many."""
MOST_LINES = 5
"""Odd lines that are told of one by one."""
MOST_NUMBERS = 40
"""Odd lines beyond those that are named by their numbers."""
UNFIT_IN_WORDS = {
    Unfit.FIELDS: mark("a field is missing, or holds what it cannot"),
    Unfit.NUMBER: mark("a number in it cannot be kept exactly"),
    Unfit.TEXT: mark("a text in it holds half a character"),
    Unfit.TWICE: mark("it names one field twice"),
    Unfit.DEEP: mark("it is nested too deep"),
    Unfit.SIZE: mark("it is larger than any entry may be"),
    Unfit.TIME: mark("it has a time that no clock shows"),
}
"""Why something is no entry that can be kept."""


@dataclass(frozen=True)
class OddLine:
    """A line with something that is no entry: in which file, if there are several, and where."""

    file: str
    line: int
    unfit: Unfit


@dataclass
class OpeningReport:
    """What was found when the history was opened. Nothing listed here stopped it from opening."""

    events: int = 0
    torn_bytes: int = 0
    damaged_pieces: int = 0
    damaged_bytes: int = 0
    damaged_before: int = 0
    """Damaged pieces that an earlier opening had already reported."""
    mended: int = 0
    not_understood: int = 0
    odd: list[OddLine] = field(default_factory=list)
    """Sound lines of the journal that hold what is no entry; it stays where it is."""
    broken_chains: list[str] = field(default_factory=list)
    altered: list[str] = field(default_factory=list)
    """Closed files whose lines hold and whose closing digest does not."""
    missing_files: int = 0
    """Files of the journal that are lost, and that no earlier opening has told of."""
    missing_by_device: Mapping[str, int] = field(default_factory=dict)
    """How many numbers no entry here has, though a later one of the same device is here."""
    recovered: int = 0
    """Events that the journal had lost and its snapshot still held."""
    rebuilt: bool = False
    new_identity: bool = False
    read_only: HistoryError | None = None

    @property
    def clean(self) -> bool:
        """Whether there is nothing that a technician needs to read."""
        return not self.lines()

    def lines(self) -> tuple[str, ...]:
        """One sentence for each thing found, for a technician to read."""
        sentences = (
            self._torn(),
            self._damaged(),
            self._chains(),
            self._altered(),
            self._missing_files(),
            missing_entries(self.missing_by_device),
            self._recovered(),
            self._not_understood(),
            *odd_in_words(self.odd),
            say("This device goes on under a new name, so that nothing is counted twice.")
            if self.new_identity
            else "",
            str(self.read_only) if self.read_only else "",
        )
        return tuple(line for line in sentences if line)

    def new_lines(self) -> tuple[str, ...]:
        """The same without what may stand for long: entries of others that never came here."""
        return replace(self, missing_by_device={}).lines()

    def _torn(self) -> str:
        if not self.torn_bytes:
            return ""
        return say(
            "The last entry was cut short ({count} bytes) before it was kept. "
            "It was set aside; every entry before it is here.",
            count=self.torn_bytes,
        )

    def _damaged(self) -> str:
        if not self.damaged_pieces:
            return ""
        return say_many(
            "The record is damaged in one place ({bytes} bytes). "
            "The damaged lines were set aside; everything else is here. Export the history now.",
            "The record is damaged in {count} places ({bytes} bytes). "
            "The damaged lines were set aside; everything else is here. Export the history now.",
            self.damaged_pieces,
            bytes=self.damaged_bytes,
        )

    def _chains(self) -> str:
        if not self.broken_chains:
            return ""
        devices = ", ".join(sorted(set(self.broken_chains)))
        return say(
            "Entries of {devices} do not follow on from each other. They are kept and shown.",
            devices=devices,
        )

    def _altered(self) -> str:
        if not self.altered:
            return ""
        return say("{files}: changed since it was closed.", files=listed(self.altered))

    def _missing_files(self) -> str:
        if not self.missing_files:
            return ""
        return say_many(
            "{count} file of the record is missing, with the entries in it. Everything else is "
            "here. Import a copy or meet the hub: that brings back what they hold of it.",
            "{count} files of the record are missing, with the entries in them. Everything else is "
            "here. Import a copy or meet the hub: that brings back what they hold of it.",
            self.missing_files,
        )

    def _recovered(self) -> str:
        if not self.recovered:
            return ""
        return say_many(
            "{count} entry was brought back from the snapshot.",
            "{count} entries were brought back from the snapshot.",
            self.recovered,
        )

    def _not_understood(self) -> str:
        if not self.not_understood:
            return ""
        return say_many(
            "{count} entry was written by a newer Nutwright: kept, not shown.",
            "{count} entries were written by a newer Nutwright: kept, not shown.",
            self.not_understood,
        )


def missing_entries(by_device: Mapping[str, int]) -> str:
    """A sentence on the numbers that are missing of each device; empty where none are."""
    if not by_device:
        return ""
    return say_many(
        "{count} entry of {devices} is not here, and a later one is. "
        "A copy or a hub that holds it brings it.",
        "{count} entries of {devices} are not here, and later ones are. "
        "A copy or a hub that holds them brings them.",
        sum(by_device.values()),
        devices=devices_in_words(sorted(by_device)),
    )


def devices_in_words(names: Sequence[str]) -> str:
    """Devices by name, or how many they are."""
    if len(names) <= MOST_NAMED:
        return listed(names)
    return say_many("{count} device", "{count} devices", len(names))


@dataclass
class MergeReport:
    """What an import or exchange brought."""

    added: int = 0
    known: int = 0
    refused: list[str] = field(default_factory=list)
    """One sentence for each event that was not taken in, and why."""
    forks: list[str] = field(default_factory=list)
    """Events whose number this history holds with another content; set aside."""
    other_benches: int = 0
    refilled: int = 0
    """Entries whose content was gone here and came again."""
    asked: list[str] = field(default_factory=list)
    """Promises to erase that came in the file and wait for a person's yes, by id."""
    ahead_ms: dict[str, int] = field(default_factory=dict)
    """By device whose entries came: how far its clock was ahead of this one's, beyond the reported
    skew."""

    def lines(self) -> tuple[str, ...]:
        """One sentence for each thing, for a technician to read."""
        sentences = (
            say("{added} new, {known} already here.", added=self.added, known=self.known),
            self._forks(),
            self._other_benches(),
            self._refilled(),
            self._asked(),
            *clocks_in_words(self.ahead_ms),
            *self.refused,
        )
        return tuple(line for line in sentences if line)

    def _forks(self) -> str:
        if not self.forks:
            return ""
        return say_many(
            "{count} entry disagrees with one of the same number here: set aside.",
            "{count} entries disagree with one of the same number here: set aside.",
            len(self.forks),
        )

    def _other_benches(self) -> str:
        if not self.other_benches:
            return ""
        return say_many(
            "{count} entry was written at another bench.",
            "{count} entries were written at another bench.",
            self.other_benches,
        )

    def _refilled(self) -> str:
        if not self.refilled:
            return ""
        return say_many(
            "{count} entry that was erased here has its content again.",
            "{count} entries that were erased here have their content again.",
            self.refilled,
        )

    def _asked(self) -> str:
        if not self.asked:
            return ""
        return say_many(
            "The file asks for {count} erasure. It waits: nothing goes until you say yes.",
            "The file asks for {count} erasures. They wait: nothing goes until you say yes.",
            len(self.asked),
        )


def odd_in_words(odd: Sequence[OddLine]) -> tuple[str, ...]:
    """A sentence for each line that holds what is no entry, the first of them one by one."""
    lines = [_odd_line_in_words(each) for each in odd[:MOST_LINES]]
    if more := len(odd[MOST_LINES:]):
        lines.append(
            say_many(
                "{count} more line holds no entry that can be kept: left out ({lines}).",
                "{count} more lines hold no entry that can be kept: left out ({lines}).",
                more,
                lines=_numbers_of(odd[MOST_LINES:]),
            )
        )
    return tuple(lines)


def _numbers_of(odd: Sequence[OddLine]) -> str:
    named = (f"{each.file}:{each.line}" if each.file else str(each.line) for each in odd)
    numbers = list(dict.fromkeys(named))
    more = ["…"] if len(numbers) > MOST_NUMBERS else []
    return ", ".join((*numbers[:MOST_NUMBERS], *more))


def _odd_line_in_words(odd: OddLine) -> str:
    why = say(UNFIT_IN_WORDS[odd.unfit])
    if odd.file:
        return say(
            "{file}, line {line}: no entry that can be kept ({why}). It stays where it is.",
            file=odd.file,
            line=odd.line,
            why=why,
        )
    return say("Line {line}: no entry that can be kept ({why}). Left out.", line=odd.line, why=why)


def clocks_in_words(ahead_ms: Mapping[str, int]) -> tuple[str, ...]:
    """A sentence for each device that wrote by a clock ahead of this one, the furthest first."""
    furthest = sorted(ahead_ms.items(), key=lambda each: (-each[1], each[0]))
    lines = [_ahead_in_words(device, ms) for device, ms in furthest[:MOST_CLOCKS]]
    if more := len(furthest[MOST_CLOCKS:]):
        lines.append(
            say_many(
                "{count} more device wrote by a clock that is ahead.",
                "{count} more devices wrote by clocks that are ahead.",
                more,
            )
        )
    return tuple(lines)


def _ahead_in_words(device: str, ms: int) -> str:
    name, minutes = device[-4:], ms // 60_000
    if minutes >= 2 * 24 * 60:
        return say(
            "Device …{name} wrote by a clock {days} days ahead of this one.",
            name=name,
            days=minutes // (24 * 60),
        )
    if minutes >= 2 * 60:
        return say(
            "Device …{name} wrote by a clock {hours} hours ahead of this one.",
            name=name,
            hours=minutes // 60,
        )
    return say(
        "Device …{name} wrote by a clock {minutes} minutes ahead of this one.",
        name=name,
        minutes=minutes,
    )
