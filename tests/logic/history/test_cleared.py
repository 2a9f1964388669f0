"""The storage is cleared while the app runs: what memory still holds is handed out."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from logic.history import MemoryDirectory
from logic.history.exchange.portable import unpack
from logic.history.storage.store import ByteStore, MemoryStore, StoreError
from shared.errors import JournalPoisoned
from tests.logic.history.factory import all_events, documents, open_history, opened, reading


class GoneStore(MemoryStore):
    """A file that was cleared: nobody reads or writes it any more."""

    def read_at(self, offset: int, length: int) -> bytes:
        """Refuse."""
        raise StoreError("cleared")

    def append(self, data: bytes) -> int:
        """Refuse."""
        raise StoreError("cleared")


@dataclass
class ClearedDirectory(MemoryDirectory):
    """A directory whose files go from one moment to the next."""

    gone: list[bool] = field(default_factory=list)

    def open(self, name: str) -> ByteStore:
        """The file of that name, or what is left of it."""
        store = super().open(name)
        return GoneStore(self.files[name]) if self.gone else store


def test_what_memory_still_holds_is_handed_out() -> None:
    """All of a day's work, after an answer was refused as not recorded; nothing is left out."""
    directory = ClearedDirectory()
    history = open_history(directory)
    history.record_all([opened(), *(reading(1 + n % 6) for n in range(600))])
    before = all_events(history)
    directory.gone.append(True)
    with pytest.raises(JournalPoisoned):
        history.record(*reading())
    fresh = open_history(letter="z")
    report = fresh.merge(history.export())
    assert (report.added, history.left_out) == (601, 0)
    assert all_events(fresh) == before
    assert documents(fresh) == documents(history)


def test_what_memory_does_not_hold_is_counted() -> None:
    """Years of which this start has read a few documents: the file lacks the rest, and says so."""
    directory = ClearedDirectory()
    history = open_history(directory)
    for number in range(30):
        history.record_all(
            [opened(f"j{number}", None), *(reading(job=f"j{number}") for _ in "abc")]
        )
        history.save_snapshot()
    history = open_history(directory)
    history.journal.remember(history.journal.recent()[-1:])
    history.journal._recent.clear()
    history.job("j3")
    history.projection.events_of(("job", "j3"))
    directory.gone.append(True)
    parcel = unpack(history.export())
    assert {event.body["job"] for event in parcel.events} == {"j3"} and parcel.complete
    assert history.left_out == 29 * 4
