"""Quick checks along a rack: next and next, what was skipped, and what a power cut leaves."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.session.rack import Rack, kept_rack
from logic.app.views import views
from shared.events import Kind
from shared.readings import Buzz, Contact
from shared.units import Length
from tests.logic.app.apps import (
    DiscApp,
    events,
    restarted,
    start,
)
from tests.logic.app.checked import TRUTH, check, measured, through


def rack_of(app: DiscApp, names: list[str]) -> views.View:
    """The first check of these instruments in a row."""
    app.do(ido.SeeInstruments())
    app.do(ido.ChooseSeveral(True))
    for name in names:
        app.do(ido.ChooseInstrument(name))
    return app.do(ido.CheckRack())


def test_a_rack_goes_next_and_next_and_says_what_was_found() -> None:
    """Three guitars in the order of choosing; the second one has dropped on a string."""
    app, names = measured(3)
    truths = [TRUTH, TRUTH | {3: 0.2}, TRUTH]
    shown = rack_of(app, names[::-1])
    for place, truth in enumerate(truths, start=1):
        assert isinstance(shown, views.CheckView) and shown.rack == f"{place} of 3"
        result, _ = through(app, shown, truth)
        assert bool(result.following) == (place < 3)
        shown = app.do(ido.NextInRack())
    assert isinstance(shown, views.RackView)
    assert [line.instrument for line in shown.lines] == names[::-1]
    assert [line.still for line in shown.lines] == [True, False, True]
    assert shown.headline == "1 to look at"


def test_what_was_skipped_is_said_at_the_end() -> None:
    """One passed over, one never measured, one checked on two strings of six."""
    app, names = measured(2)
    start(app)
    names.append(str(app.session.work.document.instrument_id))
    app.do(do.CloseJob())
    rack_of(app, names)
    app.do(do.Feel(Contact.NONE))
    app.do(do.Feel(Contact.NONE))
    app.do(ido.EndCheck())
    shown = app.do(ido.PassOver())
    assert isinstance(shown, views.RackView)
    first, second, third = shown.lines
    assert "Skipped: strings 4, 3, 2 and 1" in first.said
    assert second.said == "Skipped"
    assert "nothing on record" in third.said
    assert shown.headline == "Nothing has moved, 2 skipped"


def test_a_rack_outlives_a_power_cut() -> None:
    """After a restart the list leads on to the instrument that was next."""
    app, names = measured(3)
    through(app, rack_of(app, names), TRUTH)
    again = restarted(app)
    shown = again.do(ido.SeeInstruments())
    assert isinstance(shown, views.InstrumentsView) and shown.following
    shown = again.do(ido.NextInRack())
    assert isinstance(shown, views.CheckView) and shown.rack == "2 of 3"


def test_leaving_the_rack_empties_it() -> None:
    """Done is done: nothing waits any more."""
    app, names = measured(1)
    through(app, rack_of(app, names), TRUTH)
    app.do(ido.NextInRack())
    shown = app.do(ido.LeaveRack())
    assert isinstance(shown, views.InstrumentsView) and not shown.following
    assert kept_rack(app.history) == Rack()


def test_a_check_by_itself_leaves_the_rack_as_it_is() -> None:
    """A single check is no part of the rack that was begun before, which waits."""
    app, names = measured(3)
    rack_of(app, names[:2])
    result, _ = through(app, check(app, names[2]), TRUTH)
    assert not result.racked and result.following == ""
    assert kept_rack(app.history).waiting == (names[1],)


TAPS: list[do.Command] = [
    do.Feel(Contact.NONE),
    do.Feel(Contact.LIGHT),
    do.Feel(Contact.HEAVY),
    do.Hear(Buzz.NORMAL),
    do.Undo(),
    do.Back(),
    do.GoHome(),
    ido.SkipString(),
    ido.EndCheck(),
    ido.CheckString(3),
    ido.NextInRack(),
    ido.PassOver(),
    ido.LeaveRack(),
    ido.SeeInstruments(),
]
OUTSIDE = (do.Feel, do.Hear, ido.SkipString, ido.EndCheck, ido.CheckString)
"""What no screen outside a check sends."""


@settings(deadline=None, max_examples=25)
@given(st.lists(st.sampled_from(TAPS), max_size=14))
def test_any_taps_along_a_rack_end_in_a_view(taps: list[do.Command]) -> None:
    """Whatever is touched in whatever order, the app answers, and no string is answered for by
    a leaf that the screen did not name."""
    app, names = measured(2)
    shown = rack_of(app, names)
    for tap in taps:
        in_check = isinstance(shown, views.CheckView | views.CheckedView)
        if isinstance(tap, OUTSIDE) and not in_check:
            continue
        if isinstance(tap, do.Feel | do.Hear) and not isinstance(shown, views.CheckView):
            continue
        before = shown
        count = len(events(app))
        shown = app.do(tap)
        for event in events(app)[count:]:
            if event.kind == Kind.READING_TAKEN and isinstance(tap, do.Feel):
                assert isinstance(before, views.CheckView)
                leaf = Length.parse(event.body["reading"]["leaf"])
                assert leaf == Length.parse(f"{before.number} {before.unit}")
        assert shown == app.view()
