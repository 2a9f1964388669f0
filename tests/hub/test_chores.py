"""What a serving hub does by itself, and that it says so to whoever watches it."""

from __future__ import annotations

import json
import logging
import threading
import time
from pathlib import Path

import pytest

from logic.sync.hub import chores
from logic.sync.hub.backup import back_up
from logic.sync.hub.chores import Chore, at_work, check_all
from logic.sync.hub.database import Database
from logic.sync.hub.metrics import JsonLines, Metrics
from logic.sync.hub.serve import Serving, serve
from shared.errors import HubStoreError, InputError
from tests.hub.hubs import NOW_MS, Direct, make_hub, meet, new_key
from tests.logic.history.factory import open_history, opened, reading


async def test_a_check_by_schedule_shows_in_figures_and_in_the_log(
    database: Database, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sound hub counts its entries and none wrong; one whose disc altered an entry raises the
    figure and the level of the line. Neither names a bench or an entry."""
    monkeypatch.setattr(chores.log, "propagate", True)
    hub, metrics = make_hub(database), Metrics()
    history = open_history()
    history.record_all([opened(), reading(), reading()])
    await meet(history, Direct(hub), new_key(hub))
    with caplog.at_level(logging.INFO, "nutwright.hub"):
        check_all(database, metrics, lambda: NOW_MS)
        spoilt = "UPDATE events SET text = replace(text, '\"seq\":2', '\"seq\":7') WHERE seq = 2"
        database.run(lambda now: now.change(spoilt))
        assert "nutwright_hub_check_wrong 0\n" in metrics.text()
        check_all(database, metrics, lambda: NOW_MS)
    assert "# TYPE nutwright_hub_check_wrong gauge\nnutwright_hub_check_wrong 1\n" in metrics.text()
    assert "nutwright_hub_check_entries 3\n" in metrics.text()
    assert f"nutwright_hub_check_finished_seconds {NOW_MS // 1000}\n" in metrics.text()
    lines = [json.loads(JsonLines().format(each)) for each in caplog.records]
    told = [(line["event"], line["level"], line["entries"], line["wrong"]) for line in lines]
    assert told == [("checked", "info", 3, 0), ("checked", "error", 3, 1)]
    assert "a1" not in str(lines) and "Alder" not in str(lines)


def test_the_last_backup_shows_in_a_figure(database: Database, tmp_path: Path) -> None:
    """Seconds since 1970 of the latest one, for a monitor to tell an old one; none, no figure."""
    make_hub(database)
    metrics = Metrics()
    check_all(database, metrics, lambda: NOW_MS)
    assert "backup" not in metrics.text()
    for number in (1, 2):
        back_up(database, tmp_path / f"{number}.sqlite", NOW_MS + number * 60_000, "mira")
    check_all(database, metrics, lambda: NOW_MS)
    assert f"nutwright_hub_backup_finished_seconds {NOW_MS // 1000 + 120}\n" in metrics.text()


def test_a_chore_is_done_at_the_start_and_again(caplog: pytest.LogCaptureFixture) -> None:
    """Until the hub stops; a database that fails once is a line in the log, and the next turn is
    taken all the same."""
    turns, enough = [0], threading.Event()

    def work() -> None:
        turns[0] += 1
        if turns[0] == 1:
            raise HubStoreError("away")
        enough.set()

    with at_work([Chore("check", 0.01, work)]):
        assert enough.wait(10)
    after = turns[0]
    assert after >= 2
    assert turns[0] == after


def test_a_hub_that_stops_waits_for_its_chores_together(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two that would go on for ever hold the end up no longer than one."""
    monkeypatch.setattr(chores, "STOP_SECONDS", 0.6)
    never, begun = threading.Event(), threading.Barrier(3)

    def work() -> None:
        begun.wait(10)
        never.wait(10)

    started = 0.0
    with at_work([Chore(name, 60, work) for name in ("purge", "check")]):
        begun.wait(10)
        started = time.monotonic()
    took_s = time.monotonic() - started
    never.set()
    assert 0.5 <= took_s < 1.15


@pytest.mark.parametrize(
    "origin",
    ["*", "https://*.example", "null", "site.example", "https://site.example/", "ftp://a.example"],
)
def test_a_hub_open_to_every_page_is_refused(origin: str, tmp_path: Path) -> None:
    """One line says what to name instead, and no hub is started."""
    with pytest.raises(InputError, match=r"origin: cannot use .*name each site") as refused:
        serve(Serving(str(tmp_path / "hub.sqlite"), origins=("https://site.example:8443", origin)))
    assert str(refused.value).count("\n") == 0
    assert not (tmp_path / "hub.sqlite").exists()


def test_hours_that_are_none_are_refused(tmp_path: Path) -> None:
    """A check every minus one hour is a mistake of the hand."""
    with pytest.raises(InputError, match="check-every"):
        serve(Serving(str(tmp_path / "hub.sqlite"), check_hours=-1))
