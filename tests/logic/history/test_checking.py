"""Checks of files and folders: what is there, what is wrong, and never a change."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.checking import check_file, check_journal
from logic.history.exchange.portable import pack
from logic.history.exchange.rebase import losing_branch
from logic.history.report import MergeReport, OddLine, OpeningReport, odd_in_words
from shared.errors import InputError
from shared.events import Event
from shared.plain_json import Unfit
from tests.logic.history.factory import all_events, open_history, opened, reading
from tests.logic.history.test_projection import EVENTS
from tests.logic.history.test_rebase import by_number, two_branches

FILE = pack(EVENTS, "alder-row", "1.0")


def _history_of_several_files() -> tuple[MemoryDirectory, History]:
    directory = MemoryDirectory()
    history = open_history(directory, grace_ms=0)
    history.journal.segment_bytes = 1200
    history.record(*opened())
    for number in range(12):
        history.record(*reading(1 + number % 6))
    return directory, history


def _files(directory: MemoryDirectory) -> dict[str, bytes]:
    return {name: bytes(data) for name, data in directory.files.items()}


def _folder() -> dict[str, bytes]:
    directory, history = _history_of_several_files()
    history.save_snapshot()
    return _files(directory)


FOLDER = _folder()
SEGMENTS = sorted(name for name in FOLDER if name.startswith("journal"))


def test_a_sound_file_and_a_sound_folder_are_said_to_be() -> None:
    """How many entries of how many devices, and nothing wrong."""
    file, folder = check_file(FILE), check_journal(FOLDER)
    devices = len({event.device for event in EVENTS})
    counts = f"{len(EVENTS)} entries of {devices} devices, bench alder-row."
    assert file.sound and file.holds == [counts]
    assert folder.sound and folder.holds == ["13 entries of 1 device, bench alder-row."]


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(SEGMENTS), st.data(), st.integers(1, 255))
def test_any_flipped_byte_of_a_journal_is_found(name: str, data: st.DataObject, flip: int) -> None:
    """Wherever it is: in a line, in a checksum, in the closing digest or in the line feed after a
    line, which loses nothing and is told."""
    at = data.draw(st.integers(0, len(FOLDER[name]) - 1))
    files = dict(FOLDER)
    changed = bytearray(files[name])
    changed[at] ^= flip
    files[name] = bytes(changed)
    assert not check_journal(files).sound


@pytest.mark.parametrize("name", SEGMENTS[:-1])
def test_a_missing_file_is_found(name: str) -> None:
    """It is counted, and the one after it does not follow on."""
    files = {each: data for each, data in FOLDER.items() if each != name}
    found = check_journal(files).wrong
    assert any(line.startswith("1 file of the record is missing") for line in found)
    assert any("does not follow on" in line for line in found)


def _purged() -> dict[str, bytes]:
    """A folder of several files after what was due to be gone is gone."""
    directory, history = _history_of_several_files()
    history.erase(("job", "j1"), due_ms=history.now_ms())
    assert history.purge()
    return _files(directory)


def test_a_purged_journal_is_sound() -> None:
    """Its first file followed on from one whose content is gone on purpose."""
    purged = _purged()
    assert "journal-000001.txt" not in purged
    found = check_journal(purged)
    assert found.sound, found.wrong


def test_a_journal_in_which_a_branch_gave_way_is_sound() -> None:
    """Its files were written anew as well, and the branch is kept aside."""
    mine, theirs, directory = two_branches(3, 2, 2)
    mine.rebase(losing_branch(by_number(mine), by_number(theirs)), all_events(theirs))
    found = check_journal({name: bytes(data) for name, data in directory.files.items()})
    assert found.sound, found.wrong


def test_a_file_missing_from_the_middle_of_a_purged_journal_is_found() -> None:
    """What was written anew follows on file by file, as ever."""
    purged = _purged()
    _, second, *rest = sorted(name for name in purged if name.startswith("journal"))
    assert rest
    del purged[second]
    assert any("does not follow on" in line for line in check_journal(purged).wrong)


def test_a_check_changes_nothing() -> None:
    """Neither the bytes given nor anything else that a later check would see."""
    before = dict(FOLDER)
    assert check_journal(FOLDER) == check_journal(FOLDER)
    assert before == FOLDER


def test_entries_that_disagree_within_one_file_are_named() -> None:
    """Two of one number: the second is said to disagree."""
    other = Event.read(EVENTS[1].wire() | {"time": "3.3"})
    found = check_file(pack([*EVENTS[:2], other], "alder-row", "1.0"))
    assert found.wrong == [f"Entry {other.id} disagrees with another of its number."]


def test_what_is_no_history_file_is_refused() -> None:
    """Before anything else is said of it."""
    with pytest.raises(InputError):
        check_file(b"{}")


OPENING = {
    "torn_bytes": (12, "cut short (12 bytes)"),
    "broken_chains": (["d1"], "Entries of d1 do not follow on"),
    "altered": (["journal-000001.txt"], "journal-000001.txt: changed since it was closed"),
    "recovered": (2, "2 entries were brought back"),
    "not_understood": (1, "1 entry was written by a newer Nutwright"),
    "new_identity": (True, "goes on under a new name"),
}


@pytest.mark.parametrize("field", OPENING)
def test_each_thing_found_at_the_opening_is_a_sentence(field: str) -> None:
    """One sentence for one finding, and none where nothing was found."""
    value, words = OPENING[field]
    report = OpeningReport(**{field: value})
    (line,) = report.lines()
    assert words in line and not report.clean
    assert OpeningReport().clean and OpeningReport(events=9, mended=3, damaged_before=2).clean


MERGE = {
    "forks": (["d1:3"], "1 entry disagrees"),
    "other_benches": (2, "2 entries were written at another bench"),
    "ahead_ms": ({"d1": 600_000}, "Device …d1 wrote by a clock 10 minutes ahead"),
    "refused": (["Left out."], "Left out."),
}


@pytest.mark.parametrize("field", MERGE)
def test_each_thing_a_merge_brought_is_a_sentence(field: str) -> None:
    """After the counts, which are always there."""
    value, words = MERGE[field]
    report = MergeReport(added=1, known=2, **{field: value})  # type: ignore[arg-type]
    counts, line = report.lines()
    assert counts == "1 new, 2 already here." and words in line
    assert MergeReport().lines() == ("0 new, 0 already here.",)


def test_odd_lines_are_all_said_by_their_numbers_as_far_as_anybody_reads() -> None:
    """The first with their reasons, then numbers, then no more."""
    odd = [OddLine("", line, Unfit.NUMBER) for line in range(2, 60)]
    *first, rest = odd_in_words(odd)
    assert [line.split(":")[0] for line in first] == [f"Line {n}" for n in range(2, 7)]
    assert rest.startswith("53 more lines ") and "(7, 8, 9, " in rest and ", 46, …)" in rest
    assert odd_in_words([OddLine("journal-000001.txt", 3, Unfit.TWICE)]) == (
        "journal-000001.txt, line 3: no entry that can be kept (it names one field twice). "
        "It stays where it is.",
    )
    assert odd_in_words([]) == ()
