"""What opening, importing or checking a history found, in a person's words."""

from __future__ import annotations

from dataclasses import dataclass, field

from shared.errors import HistoryError


@dataclass
class OpeningReport:
    """What was found when the history was opened. Nothing listed here stopped it from opening."""

    events: int = 0
    torn_bytes: int = 0
    damaged_pieces: int = 0
    damaged_bytes: int = 0
    damaged_before: int = 0
    """Damaged pieces that an earlier opening had already told of."""
    mended: int = 0
    not_understood: int = 0
    broken_chains: list[str] = field(default_factory=list)
    altered: list[str] = field(default_factory=list)
    """Closed files whose lines hold and whose closing digest does not."""
    recovered: int = 0
    """Events that the journal had lost and its snapshot still held."""
    rebuilt: bool = False
    new_identity: bool = False
    read_only: HistoryError | None = None

    @property
    def clean(self) -> bool:
        """Nothing that a technician needs to hear of."""
        return not self.lines()

    def lines(self) -> tuple[str, ...]:
        """One sentence for each thing found, for a technician to read."""
        said = (
            self._torn(),
            self._damaged(),
            self._chains(),
            f"{' and '.join(self.altered)}: changed since it was closed." if self.altered else "",
            _count(self.recovered, "entry", "entries", "was brought back from the snapshot."),
            _count(
                self.not_understood,
                "entry",
                "entries",
                "was written by a newer Nutwright: kept, not shown.",
            ),
            "This device goes on under a new name, so that nothing is counted twice."
            if self.new_identity
            else "",
            str(self.read_only) if self.read_only else "",
        )
        return tuple(line for line in said if line)

    def _torn(self) -> str:
        if not self.torn_bytes:
            return ""
        return (
            f"The last entry was cut short ({self.torn_bytes} bytes) before it was kept. "
            "It was set aside; every entry before it is here."
        )

    def _damaged(self) -> str:
        if not self.damaged_pieces:
            return ""
        places = "one place" if self.damaged_pieces == 1 else f"{self.damaged_pieces} places"
        return (
            f"The record is damaged in {places} ({self.damaged_bytes} bytes). "
            "The damaged lines were set aside; everything else is here. Export the history now."
        )

    def _chains(self) -> str:
        if not self.broken_chains:
            return ""
        devices = ", ".join(sorted(set(self.broken_chains)))
        return f"Entries of {devices} do not follow on from each other. They are kept and shown."


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
    ahead_ms: int = 0
    """How far the newest stamp is ahead of this device's clock, when that is worth telling."""

    def lines(self) -> tuple[str, ...]:
        """One sentence for each thing, for a technician to read."""
        said = (
            f"{self.added} new, {self.known} already here.",
            _count(
                len(self.forks),
                "entry",
                "entries",
                "disagrees with one of the same number here: set aside.",
            ),
            _count(self.other_benches, "entry", "entries", "was written at another bench."),
            f"Another device's clock is {self.ahead_ms // 60_000} minutes ahead of this one."
            if self.ahead_ms
            else "",
            *self.refused,
        )
        return tuple(line for line in said if line)


def _count(number: int, one: str, many: str, said: str) -> str:
    """`said` of `number` things, or nothing of none."""
    if not number:
        return ""
    plural = {"was": "were", "disagrees": "disagree"}
    verb, _, rest = said.partition(" ")
    return f"1 {one} {said}" if number == 1 else f"{number} {many} {plural.get(verb, verb)} {rest}"
