"""What is missing of the record is told where somebody looks, by count, and on home only while it
is new."""

from __future__ import annotations

from logic.app.presenters.home import home_view
from logic.app.presenters.records import records_view
from logic.app.presenters.storage_health import health_view
from logic.app.session.device import InstallState
from logic.history import History, MemoryDirectory
from tests.logic.history.factory import open_history, setting


def files_lost() -> MemoryDirectory:
    """A folder whose second file is gone, with two entries."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 700
    for number in range(8):
        history.record(*setting("count", number))
    directory.delete("journal-000002.txt")
    return directory


def warnings(history: History) -> tuple[str, ...]:
    """What the records page warns of."""
    return records_view(history, (), note="", standing=InstallState()).warnings


def health(history: History) -> dict[str, str]:
    """Facts of the page of the storage."""
    return dict(health_view(history, (), "", "").lines)


def test_a_lost_file_is_told_on_every_page() -> None:
    """Home, records and storage; the next start has told of it, and the counts stay."""
    directory = files_lost()
    history = open_history(directory, "e")
    missing = sum(history.journal.held.missing().values())
    assert "1 file of the record is missing" in " ".join(home_view(history).notices)
    told = " ".join(warnings(history))
    assert "1 file of the record is missing" in told and "not here" in told
    history.record(*setting("count", 9))
    again = open_history(directory, "f")
    assert not home_view(again).notices
    assert len(warnings(again)) == 1 and "not here" in warnings(again)[0]
    found = health(again)
    assert found["Files of the journal"].endswith("(1 missing)")
    assert found["Entries"] == f"{9 - missing} ({missing} missing)"
    assert "the number of a file that is missing" in found["Set aside"]


def test_what_another_device_has_and_this_one_lacks_goes_as_it_comes() -> None:
    """It is no notice of home, is told on the records page, and is gone from there at once."""
    other, history = open_history(letter="o"), open_history()
    events = [other.record(*setting("count", number)) for number in range(5)]
    history.merge_events([events[0], events[4]])
    assert not home_view(history).notices
    assert "3 entries of o1 are not here" in " ".join(warnings(history))
    assert health(history)["Entries"] == "2 (3 missing)"
    history.merge_events(events)
    assert not warnings(history) and health(history)["Entries"] == "5"
