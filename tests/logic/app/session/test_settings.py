"""Settings, and what holds of every command."""

from __future__ import annotations

from dataclasses import replace

from logic.app.commands import commands as do
from logic.app.views import views
from shared.events import Kind
from shared.readings import Contact
from shared.units import Length
from tests.logic.app.apps import (
    events,
    fresh_app,
    leaves_shown,
    walking,
)
from tests.logic.app.commands.test_commands import chosen


def test_a_setting_is_kept_and_shown_chosen() -> None:
    """Every value of every setting can be chosen, and is the one chosen then."""
    app = fresh_app()
    shown = app.do(do.SeeSettings())
    assert isinstance(shown, views.SettingsView)
    for name, _, choices in shown.groups:
        for choice in choices:
            after = app.do(do.SetSetting(name, choice.key))
            assert isinstance(after, views.SettingsView)
            groups = {group: offered for group, _, offered in after.groups}
            assert chosen(groups[name]) == [choice.key]
            assert app.settings[name] == choice.key


def test_the_settings_page_says_where_the_record_is_kept() -> None:
    """What the device says about its storage stands under the settings."""
    app = fresh_app()
    app.device.storage = ("Records are kept in a shoe box.",)
    shown = app.do(do.SeeSettings())
    assert isinstance(shown, views.SettingsView)
    assert shown.storage == app.device.storage


def test_a_job_opened_by_another_tap_does_not_change_the_first() -> None:
    """Readings of one job never show in another of the same kind."""
    app = fresh_app()
    first = walking(app)
    app.do(do.Feel(Contact.NONE))
    second = walking(app)
    assert second.trail == ()
    assert replace(second, job="", marks=()) == replace(first, job="", marks=())


def test_commands_of_the_history_are_counted_once() -> None:
    """One tap on an answer is one reading in the journal, whatever it moves."""
    app = fresh_app()
    walking(app)
    for _ in range(5):
        app.do(do.Feel(Contact.LIGHT))
    kinds_recorded = [event.kind for event in events(app)]
    assert kinds_recorded.count(Kind.READING_TAKEN) == 5


def test_leaves_shown_reads_a_stack() -> None:
    """The test's own reading of the screen knows one leaf and two."""
    app = fresh_app()
    view = walking(app)
    both = replace(view, number="0.51 + 0.13", unit="mm")
    assert leaves_shown(both) == (Length.parse("0.51 mm"), Length.parse("0.13 mm"))
