"""Relief and action of an instrument over its visits, as its page says them."""

from __future__ import annotations

from typing import Any

from logic.app.presenters.instruments import instrument_view
from logic.app.session.past_jobs import PastJobs
from logic.app.wording.wording import Wording
from logic.history import History
from logic.testing import TRADE
from shared.events import Kind
from shared.units import Unit
from tests.logic.history.factory import measured, open_history, opened, stepped

PAGE = Wording(Unit.MM)


def relief(text: str, posture: str = "as played") -> dict[str, Any]:
    """A relief of the bass side."""
    return {"quantity": "relief", "side": "bass", "value": text, "posture": posture}


def visited(history: History, job: str, *measurements: dict[str, Any]) -> None:
    """One visit that measured this."""
    history.record(*opened(job))
    for each in measurements:
        history.record(*measured(each, job))
    history.record(Kind.JOB_CLOSED, {"job": job, "reason": "done"})


def facts(history: History) -> dict[str, str]:
    """What the page says of the instrument."""
    found = history.instrument("i1")
    assert found is not None
    return dict(instrument_view(found, PastJobs(history, TRADE), PAGE).facts)


def test_an_instrument_that_was_never_set_up_says_nothing_of_it() -> None:
    """There is no line for what nobody measured."""
    history = open_history()
    visited(history, "j1")
    assert not [name for name in facts(history) if name.startswith(("Relief", "Action"))]


def test_drift_is_told_against_date_and_humidity() -> None:
    """The last value with its interval and day, by how much it went since the visit before, and
    what the air was like at both."""
    history = open_history()
    damp, dry = ({"quantity": "humidity", "percent": percent} for percent in (48, 30))
    visited(history, "j1", relief("0.30 mm"), damp)
    first = facts(history)["Relief, bass side"]
    assert first.startswith("0.30 mm (0.2") and "since" not in first
    visited(history, "j2", relief("0.12 mm"), dry)
    said = facts(history)["Relief, bass side"]
    assert "down 0.1" in said and "since 14 Nov" in said and "humidity 48 → 30 %" in said
    visited(history, "j3", relief("0.12 mm"))
    said = facts(history)["Relief, bass side"]
    assert "steady since" in said and "humidity" not in said
    assert "Relief" not in facts(history)


def test_two_postures_are_no_drift() -> None:
    """What was measured on its back says so, and is compared with nothing measured otherwise."""
    history = open_history()
    visited(history, "j1", relief("0.30 mm"))
    visited(history, "j2", relief("0.20 mm", "on its back"))
    said = facts(history)["Relief, bass side"]
    assert said.endswith("on its back") and "since" not in said


def test_a_turn_that_nobody_measured_after_leaves_what_was_measured() -> None:
    """The last figure that was measured stands, as nothing later is known."""
    history = open_history()
    history.record(*opened("j1"))
    history.record(*measured({"quantity": "action", "string": 6, "fret": 12, "value": "2.4 mm"}))
    history.record(*stepped({"step": "saddle", "height": "-0.4 mm"}))
    assert facts(history)["Action of string 6 at fret 12"].startswith("2.")
