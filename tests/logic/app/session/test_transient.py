"""What is chosen or typed and never recorded: how long it lasts."""

from __future__ import annotations

from typing import Any

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.session.transient import Transient
from logic.app.views import views
from logic.bench.instrument.changes import Changes
from logic.bench.raising.nut_layout import Spacing, Wishes
from logic.bench.what_if.dial import Dial
from shared.readings import Contact
from tests.logic.app.apps import fresh_app, measured_at, walking
from tests.logic.app.commands.test_commands import chosen

HIGH = dict.fromkeys(range(1, 7), 0.8)


@pytest.mark.parametrize("keeps", [True, False])
def test_a_command_forgets_what_was_said_of_the_one_before(keeps: bool) -> None:
    """What was saved, refused or waited for is said once; the pad stays only where it is typed
    on."""
    transient = Transient(saved="a", refused="b", awaited_key="c", number_kind="clearance")
    transient.begin_command(keeps_number_pad=keeps)
    assert (transient.saved, transient.refused, transient.awaited_key) == ("", "", "")
    assert transient.number_kind == ("clearance" if keeps else "")


def test_a_trial_begins_with_nothing_turned() -> None:
    """Dials and wishes for a new nut are as common practice has them."""
    transient = Transient(nut_wishes=Wishes(spacing=Spacing.EQUAL_CENTRES))
    transient.begin_trial()
    assert (transient.what_if, transient.nut_wishes) == (Changes(), Wishes())


def test_what_is_kept_in_words_goes_with_the_language() -> None:
    """What to buy next is a list of sentences; all else is kept as facts."""
    transient = Transient(kit_advice=("Buy a leaf.",), number_kind="clearance")
    transient.forget_words()
    assert (transient.kit_advice, transient.number_kind) == ((), "clearance")


@pytest.mark.parametrize(
    ("enter", "turn", "field"),
    [
        (do.WhatIf(), do.Turn(Dial.RELIEF, 2), "what_if"),
        (do.SeeNewNut(), do.SetSpacing(Spacing.EQUAL_CENTRES.value), "nut_wishes"),
    ],
)
def test_a_trial_lasts_as_long_as_one_stays_and_begins_anew_with_a_visit(
    enter: do.Command, turn: do.Command, field: str
) -> None:
    """Turned, opened again in place and still turned; left and come back to, as recorded."""
    app = measured_at(HIGH)
    app.do(enter)
    untouched: Any = getattr(app.session.transient, field)
    app.do(turn)
    turned = getattr(app.session.transient, field)
    assert turned != untouched
    app.do(enter)
    assert getattr(app.session.transient, field) == turned
    app.do(do.SeePlan())
    app.do(enter)
    assert getattr(app.session.transient, field) == untouched


def test_pointing_at_another_string_keeps_the_dials() -> None:
    """Speaking of string 3 does not forget what was turned for all."""
    app = measured_at(HIGH)
    app.do(do.WhatIf())
    app.do(do.Turn(Dial.RELIEF, 2))
    shown = app.do(do.WhatIf(3))
    assert isinstance(shown, views.WhatIfView) and shown.changed and shown.string == 3
    cleared = app.do(do.ForgetWhatIf())
    assert isinstance(cleared, views.WhatIfView) and not cleared.changed


def test_what_was_saved_is_said_until_the_next_command() -> None:
    """Looking again says it again; the next touch does not."""
    app = fresh_app()
    walking(app)
    shown = app.do(do.Feel(Contact.LIGHT))
    assert isinstance(shown, views.WalkView) and shown.saved
    assert app.view() == shown
    later = app.do(do.Walk(4))
    assert isinstance(later, views.WalkView) and later.saved == ""


def test_a_key_is_waited_for_by_one_action_at_a_time() -> None:
    """Asked for another it is that one's; any other touch waits no longer."""
    app = fresh_app()
    app.do(do.SeeSettings())
    for action in ("undo", "plan"):
        shown = app.do(do.AskKey(action))
        assert isinstance(shown, views.SettingsView) and shown.waiting == action
    after = app.do(do.SetSetting("hand", "left"))
    assert isinstance(after, views.SettingsView) and after.waiting == ""


@pytest.mark.parametrize("marking", ["in", "lost", "worn"])
def test_what_a_touch_on_a_tool_does_lasts_until_the_kit_is_opened_anew(marking: str) -> None:
    """Marking several tools in a row needs one choice; the next visit begins with in or out."""
    app = fresh_app()
    app.do(do.SeeKit())
    shown = app.do(do.SetMarking(marking))
    assert isinstance(shown, views.KitView)
    assert (chosen(shown.markings), shown.marking) == ([marking], marking)
    app.do(do.Back())
    again = app.do(do.SeeKit())
    assert isinstance(again, views.KitView) and again.marking == "in"


def test_the_list_of_instruments_begins_anew_with_each_visit() -> None:
    """Words, page and choice are forgotten; whether the touched one is checked is as it is
    entered."""
    app = measured_at(HIGH)
    app.do(do.CloseJob())
    app.do(ido.SeeInstruments())
    app.do(ido.ChooseSeveral(True))
    app.do(ido.ChooseInstrument("name-2"))
    found = app.do(ido.FindInstruments("electric"))
    assert isinstance(found, views.InstrumentsView)
    assert (found.query, found.choosing, found.chosen) == ("electric", True, 1)
    again = app.do(ido.CheckOne())
    assert isinstance(again, views.InstrumentsView)
    assert (again.query, again.choosing, again.chosen, again.checking) == ("", False, 0, True)


def test_nothing_transient_outlives_the_tab() -> None:
    """An app that starts on the same history has turned, typed and chosen nothing."""
    app = measured_at(HIGH)
    app.do(do.WhatIf())
    app.do(do.Turn(Dial.ATTACK, 1))
    again = fresh_app()
    again.history.merge(app.history.export())
    assert again.session.transient == Transient()
