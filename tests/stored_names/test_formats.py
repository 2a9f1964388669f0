"""How files begin, what they are called, and what stands in their lines."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from logic.history import FileDirectory, MemoryDirectory
from logic.history.documents.fold import FOLD_VERSION
from logic.history.exchange.spreadsheet import reading_columns
from logic.history.journal.frame import encode
from logic.history.journal.quarantine import QUARANTINE_FILE, STAYING_FILE
from logic.history.journal.segment import segment_name
from logic.history.snapshots.snapshot import SLOTS, files_wanted_next, next_file_name
from logic.history.storage.reserve import RESERVE
from logic.jobfiles.reading import FORMAT, VERSION, read_job
from logic.sync.pairing import SLOTS as PAIRING_SLOTS
from logic.sync.pairing import Pairing
from logic.testing import TRADE
from shared.errors import JobFileError
from tests.logic.history.factory import open_history, opened, setting
from tests.logic.test_command_line import SAMPLES, run_main

LINE = re.compile(rb"[0-9a-f]{8} [0-9a-f]{8} (.*)\n")


def lines(data: bytes) -> list[Any]:
    """What each line of a file of frames holds."""
    return [json.loads(text) for text in LINE.findall(data)]


def printed(*words: str) -> Any:
    """The JSON that a command prints for the electric sample, or for none."""
    done = run_main([*words, "--json"])
    assert done.code == 0, done.err
    return json.loads(done.out)


JOB = str(SAMPLES / "electric_after_restring.json")


def test_a_line_is_framed_as_ever() -> None:
    """Eight digits of length, eight of CRC-32, canonical JSON, one line feed."""
    assert encode({"b": "♯", "a": 1}) == b'00000011 6cca916e {"a":1,"b":"\xe2\x99\xaf"}\n'


def test_a_journal_begins_goes_on_and_closes_as_ever() -> None:
    """The header line, lines of events, and the closing line have these fields and words."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 500
    for number in range(6):
        history.record(*setting("unit", f"thou {number}"))
    header, events, *_, closing = lines(directory.files["journal-000001.txt"])
    assert header == {
        "format": "nutwright.journal",
        "version": 1,
        "bench": "alder-row",
        "device": "d1",
        "epoch": 1,
        "segment": 1,
        "after": "",
    }
    assert set(events) == {"events"}
    assert set(closing) == {"closed"}
    assert set(closing["closed"]) == {"events", "holds", "sha256"}


def test_a_history_file_begins_and_ends_as_ever() -> None:
    """The header names the format, then one event a line, then the count and the digest."""
    history = open_history()
    history.record(*opened("j1", "i1"))
    header, event, end = lines(history.export())
    assert header == {
        "format": "nutwright.history",
        "version": 1,
        "bench": "alder-row",
        "made": header["made"],
        "of": "everything",
    }
    assert set(event) == {"event"}
    assert set(end) == {"end"}
    assert set(end["end"]) == {"events", "sha256"}
    of = [lines(history.export(of))[0]["of"] for of in (("job", "j1"), ("instrument", "i1"))]
    assert of == ["job/j1", "instrument/i1"]


def test_files_of_a_history_keep_their_names(tmp_path: Path) -> None:
    """Journal, snapshot, shelf, what was set aside, the reserve, the pairing, and the lock."""
    assert [segment_name(number) for number in (1, 1_000_000)] == [
        *("journal-000001.txt", "journal-1000000.txt"),
    ]
    assert SLOTS == ("snapshot-a.txt", "snapshot-b.txt")
    assert next_file_name(["documents-000009.txt"]) == "documents-000010.txt"
    assert (QUARANTINE_FILE, RESERVE) == ("aside.txt", "reserve.txt")
    assert STAYING_FILE == "aside-staying.txt"
    assert PAIRING_SLOTS == ("hub-a.txt", "hub-b.txt")
    assert files_wanted_next(["journal-000001.txt"])[0] == "journal-000002.txt"
    folder = FileDirectory(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["in-use.lock"]
    folder.close()


def test_a_snapshot_holds_what_it_held() -> None:
    """A slot of a snapshot names its shelf and what it was made from; the shelf its documents."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.record(*opened("j1", "i1"))
    history.save_snapshot()
    (slot,) = lines(directory.files["snapshot-b.txt"])
    assert set(slot) == {
        *("fold", "generation", "shelf", "index", "known", "heads", "segments", "size", "last"),
        *("snapshot", "digests", "digest", "begun"),
    }
    assert (slot["fold"], slot["shelf"]) == (FOLD_VERSION, "documents-000001.txt")
    *documents, index = lines(directory.files["documents-000001.txt"])
    assert {tuple(sorted(each)) for each in documents} == {
        ("document", "name", "table"),
        ("events", "name", "table"),
    }
    assert {each["table"] for each in documents} == {"job", "instrument", "events"}
    assert set(index) == {"generation", "places", "lines", "events"}


def test_a_pairing_keeps_its_fields() -> None:
    """What a device keeps of its hub."""
    assert set(Pairing.model_fields) >= {
        *("address", "bench", "bench_name", "label", "key", "role", "epoch", "last_ok_ms"),
        *("on_hub", "passed_over", "refused", "former_key"),
    }


def test_a_job_file_keeps_its_header() -> None:
    """`nutwright.job`, version 1; both may be left out, and nothing else is taken for them."""
    assert (FORMAT, VERSION) == ("nutwright.job", 1)
    tree: dict[str, Any] = {"instrument": {"kind": "mandolin"}}
    for header in ({}, {"format": "nutwright.job", "version": 1}):
        job, _ = read_job(json.dumps(header | tree), TRADE)
        assert (job.format, job.version) == ("nutwright.job", 1)
    with pytest.raises(JobFileError):
        read_job(json.dumps({"format": "nutwright.plan"} | tree), TRADE)


def test_the_json_of_a_plan_keeps_its_fields() -> None:
    """`plan --json`: what reads it finds every field under its name."""
    plan = printed("plan", JOB)
    assert (plan["format"], plan["version"]) == ("nutwright.plan", 1)
    assert set(plan) >= {"assumed", "gates", "strings", "nut", "cautions"}
    assert set(plan["assumed"][0]) >= {"field", "value", "why"}
    assert set(plan["gates"][0]) >= {
        *("gate", "state", "ask", "why", "strings", "imposes", "reason", "forbids"),
    }
    assert set(plan["strings"][0]) >= {
        *("string", "call", "reason", "why", "confidence", "clearance_mm", "window_mm"),
        *("slot_cut_mm", "raise_mm", "file_mm", "file_note", "next_step", "next_leaf_mm"),
        "cents_at_fret_1",
    }
    assert set(plan["strings"][0]["clearance_mm"]) == {"estimate", "low", "high"}
    assert set(plan["strings"][0]["window_mm"]) == {"low", "target", "high", "note", "cut_to"}
    low = printed("plan", str(SAMPLES / "bass_with_an_open_buzz.json"))["nut"]
    assert set(low) >= {"advice", "options"}
    assert set(low["options"][0]) >= {
        *("method", "amount_mm", "slots_touched", "minutes", "slots_filed", "reversible"),
        *("recommended", "why", "stack_mm", "lifts_mm", "lower_after", "missed", "cure_hours"),
        "cautions",
    }


def test_the_json_of_the_other_commands_keeps_its_fields() -> None:
    """`pitch`, `layout`, `cut`, `simulate` and `checks` with --json, as programs read them."""
    pitch = printed("pitch", JOB)
    assert (pitch["format"], pitch["version"]) == ("nutwright.pitch", 1)
    assert set(pitch["strings"][0]) >= {
        *("string", "clearance_mm", "measured", "tension_n", "kappa", "cents"),
        *("cents_saddle_set", "cents_per_thou"),
    }
    layout = printed("layout", JOB)
    assert (layout["format"], layout["version"]) == ("nutwright.layout", 1)
    assert set(layout) >= {"assumed", "nut_width_mm", "spacing", "slant_deg", "slots"}
    assert set(layout["slots"][0]) >= {
        *("string", "centre_mm", "width_mm", "depth_from_crown_plane_mm"),
    }
    assert set(printed("cut", JOB)[0]) >= {
        *("string", "step", "why", "leaf_mm", "strokes", "file_mm", "clearance_mm"),
        *("stop_line_mm", "chance_past", "odd"),
    }
    played = printed("simulate", "--slots", "1", "--known")
    assert (played["format"], played["version"]) == ("nutwright.simulation", 1)
    assert set(played) >= {"slots", "seed", "habits"}
    assert set(printed("checks")[0]) >= {
        *("gate", "text", "why", "kind", "choices", "per_string", "strings", "page"),
    }


def test_the_spreadsheet_keeps_its_first_line() -> None:
    """What a spreadsheet made of the last export goes by."""
    assert reading_columns()[:16] == (
        *("taken (UTC)", "job", "instrument", "kind", "string", "pitch", "leaf", "second leaf"),
        *("contact", "open buzz", "clearance", "held at fret", "gap", "fret", "cents", "device"),
    )
