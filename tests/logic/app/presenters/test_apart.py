"""Two lines that read alike are told apart; lines that do not are left as they are."""

from __future__ import annotations

from dataclasses import replace

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.presenters.apart import Listed, made_distinct
from logic.app.views import views
from logic.testing import instrument
from shared.instrument import Instrument
from shared.units import Length
from tests.logic.app.apps import DiscApp, fresh_app, start

ELECTRIC = instrument("electric guitar")
SHORT = ELECTRIC.model_copy(update={"scale": Length.parse("628 mm")})


def listed(since: str, made: Instrument | None, reads_as: str = "Electric guitar") -> Listed:
    """A line of a list."""
    return Listed(reads_as, since, lambda: made)


def test_lines_that_differ_are_left_as_they_are() -> None:
    """Nothing is looked up and nothing is added."""

    def looked_up() -> Instrument:
        raise AssertionError("looked up")

    lines = [Listed(name, "1", looked_up) for name in ("Blue one", "Green one")]
    assert made_distinct(lines) == ["", ""]


def test_alike_by_name_they_differ_by_what_differs() -> None:
    """The scale where scales differ, and nothing of the tuning that they share."""
    assert made_distinct([listed("1", ELECTRIC), listed("2", SHORT)]) == ["25.5 in", "628 mm"]


def test_alike_in_all_they_are_numbered_as_they_came() -> None:
    """The oldest is the first, wherever it stands in the list; one that cannot be looked up too."""
    lines = [listed("3", ELECTRIC), listed("1", ELECTRIC), listed("2", ELECTRIC)]
    assert made_distinct(lines) == ["no. 3", "no. 1", "no. 2"]
    assert made_distinct([listed("1", None), listed("2", None)]) == ["no. 1", "no. 2"]


@pytest.mark.parametrize("count", [2, 3, 7])
def test_no_two_of_them_are_ever_the_same(count: int) -> None:
    """Some alike in all, some by scale: every line is one of its own."""
    lines = [listed(str(n), ELECTRIC if n % 2 else SHORT) for n in range(count)]
    assert len(set(made_distinct(lines))) == count


# --- in the lists ---


def begun(app: DiscApp, kind: str = "electric guitar", **name: str) -> None:
    """A job with a word on it, its instrument named where a name is given."""
    start(app, kind)
    app.do(do.SetComplaint("stiff"))
    if name:
        app.do(ido.SeeName())
        app.do(ido.SaveName(name.get("label", ""), name.get("owner", ""), name.get("ticket", "")))


def home(app: DiscApp) -> tuple[views.JobLine, ...]:
    """The jobs at home."""
    shown = app.do(do.GoHome())
    assert isinstance(shown, views.HomeView)
    return shown.jobs


def test_a_job_at_home_says_whose_it_is_and_its_ticket() -> None:
    """Owner and ticket stand before the date."""
    app = fresh_app()
    begun(app, owner="Marlow", ticket="2041")
    (line,) = home(app)
    assert line.detail.startswith("Marlow · 2041 · ")


def test_two_jobs_of_a_kind_are_told_apart_at_home() -> None:
    """Nobody named them and both are of a kind: they are numbered as they came in."""
    app = fresh_app()
    begun(app)
    begun(app)
    begun(app, "mandolin")
    mandolin, second, first = home(app)
    assert "no. 2" in second.detail and "no. 1" in first.detail
    assert "no." not in mandolin.detail


def test_the_list_of_instruments_shows_dates_and_tells_two_of_a_kind_apart() -> None:
    """Two of one owner by their scale, and every line with when it was changed last."""
    app = fresh_app()
    begun(app, owner="Marlow")
    begun(app, owner="Marlow")
    app.do(do.TypeNumber("scale"))
    app.do(do.NumberTyped("628 mm"))
    app.do(do.GoHome())
    shown = app.do(ido.SeeInstruments())
    assert isinstance(shown, views.InstrumentsView)
    details = [line.detail for line in shown.lines]
    assert sorted(each.split(" · ")[1] for each in details) == ["25.5 in", "628 mm"]
    assert all(":" in each and "1 job" in each for each in details)
    assert len({replace(line, instrument="").detail for line in shown.lines}) == 2
