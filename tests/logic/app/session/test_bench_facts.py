"""What the bench says of itself: settings, people, minutes, copies, and the sample."""

from __future__ import annotations

import json
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.presenters.settings import settings_view
from logic.app.session.copies import DAY_MS, copy_age, note_copy
from logic.app.session.device import DeviceFacts
from logic.app.session.people import PEOPLE, WHO, hands_to_choose, people_of, who_files
from logic.app.session.sample import is_sample, sample_job
from logic.app.session.settings import (
    KEY,
    SETTINGS,
    figure_style_of,
    kept_as,
    settings_of,
    wording_of,
)
from logic.app.views import views
from logic.history.history import History
from logic.history.storage.store import MemoryDirectory
from logic.languages import load_language
from logic.testing import TRADE, job_with
from logic.trade_loader import ASSETS
from shared.events import Kind
from shared.units import Unit
from shared.words import use
from tests.logic.app.apps import fresh_app, recording
from tests.logic.app.commands.test_commands import chosen


def history_with(**settings: Any) -> History:
    """A history in which these settings are kept."""
    history = History.open(MemoryDirectory())
    for name, value in settings.items():
        kept = {"name": kept_as(name, history), "value": value}
        history.record(Kind.SETTING_CHANGED, kept)
    return history


# --- settings ---


def test_what_was_never_set_is_the_first_value() -> None:
    """Each setting by itself; the decimal mark is the language's."""
    values = settings_of(history_with())
    for name, (_, choices) in SETTINGS.items():
        assert values[name] == next(iter(choices))
    use(load_language("de"))
    assert settings_of(history_with())["mark"] == ","


@pytest.mark.parametrize("name", SETTINGS)
@pytest.mark.parametrize("value", ["", "neon", 3, None, ["thou"], {"unit": "thou"}])
def test_a_value_that_nobody_knows_is_read_as_the_default(name: str, value: Any) -> None:
    """Of a newer version, or broken: the app goes on with what is usual."""
    if not (isinstance(value, str) and value in SETTINGS[name][1]):
        assert settings_of(history_with(**{name: value})) == settings_of(history_with())


@pytest.mark.parametrize(("unit", "mark"), list(product(["thou", "in", "mm"], [".", ","])))
def test_unit_and_mark_are_those_of_every_figure(unit: str, mark: str) -> None:
    """In values on screens and inside sentences alike."""
    settings = settings_of(history_with(unit=unit, mark=mark))
    wording, style = wording_of(settings), figure_style_of(settings)
    assert (wording.unit, wording.decimal_mark) == (Unit(unit), mark)
    assert (style.unit, style.decimal_mark) == (unit, mark)


def test_language_hand_and_copy_are_the_devices_own_and_the_unit_is_the_benchs() -> None:
    """Two phones of one bench may speak two languages; a length is the same on both."""
    one, other = history_with(language="de", unit="mm"), history_with()
    other.merge(one.export())
    assert settings_of(other)["language"] == "device"
    assert settings_of(other)["unit"] == "mm"


def test_the_page_shows_every_setting_with_what_is_chosen() -> None:
    """Titles and values in words, one chosen in each, and what the device has none of."""
    settings = settings_of(history_with(theme="sun"))
    shown = settings_view(
        settings, ("Kept here.",), {"buzz": "It does not buzz."}, "undo", "Jo, Al"
    )
    assert [name for name, _, _ in shown.groups] == list(SETTINGS)
    for name, title, choices in shown.groups:
        assert title and chosen(choices) == [settings[name]]
    assert shown.storage == ("Kept here.",)
    assert shown.lacks == (("buzz", "It does not buzz."),)
    assert (shown.waiting, shown.people) == ("undo", "Jo, Al")


def test_a_key_that_is_given_does_that_and_nothing_else() -> None:
    """Taken from the action that had it, also where it had it from the start."""
    app = fresh_app()
    app.do(do.SeeSettings())
    shown, recorded = recording(app, do.SetSetting(f"{KEY}plan", "Z"))
    assert isinstance(shown, views.SettingsView)
    keys = {line.action: line for line in shown.keys}
    assert "Z" in keys["plan"].keys and keys["plan"].given
    assert len(recorded) == 1
    again, both = recording(app, do.SetSetting(f"{KEY}home", "Z"))
    assert isinstance(again, views.SettingsView)
    lines = {line.action: line for line in again.keys}
    assert "Z" in lines["home"].keys and "Z" not in lines["plan"].keys
    assert [body["value"] for _, body in both] == ["", "Z"]


def test_two_keys_of_one_name_are_given_as_one_touch() -> None:
    """Taking a key from one action and giving it to another is undone by nobody by half."""
    app = fresh_app()
    app.do(do.SetSetting(f"{KEY}plan", "Z"))
    app.do(do.SetSetting(f"{KEY}home", "Z"))
    last = list(app.history.events_after({}))[-2:]
    assert last[0].body["action"] == last[1].body["action"]


# --- people ---


@pytest.mark.parametrize(
    ("written", "names"),
    [
        ("", ()),
        ("Jo", ("Jo",)),
        ("Jo, Al", ("Jo", "Al")),
        ("Jo;Al · Mo\nKit", ("Jo", "Al", "Mo", "Kit")),
        ("Jo, Jo ,, Al", ("Jo", "Al")),
        ("a,b,c,d,e,f,g,h", ("a", "b", "c", "d", "e", "f")),
        ("x" * 80, ("x" * 24,)),
    ],
)
def test_names_are_read_however_they_were_written(written: str, names: tuple[str, ...]) -> None:
    """Commas, semicolons, dots or lines between them; each once, six at most, none too long."""
    assert people_of(history_with(people=written)) == names


@given(st.text(max_size=200))
def test_no_text_breaks_the_names(written: str) -> None:
    """Whatever was pasted: at most six names, all different, none empty or longer than a button."""
    names = people_of(history_with(people=written))
    assert len(names) == len(set(names)) <= 6
    assert all(0 < len(name) <= 24 for name in names)


@pytest.mark.parametrize(
    ("people", "who", "files"),
    [
        ("Jo, Al", "Jo", "Jo"),
        ("Jo, Al", "Kim", ""),
        ("Jo, Al", None, ""),
        ("Jo", "Jo", ""),
        (None, "Jo", ""),
    ],
)
def test_whose_hand_it_is_is_one_of_several_or_nobodys(
    people: str | None, who: str | None, files: str
) -> None:
    """A bench of one is not asked, and a name that is not on the list files nothing."""
    kept = {name: value for name, value in ((PEOPLE, people), (WHO, who)) if value is not None}
    history = history_with(**kept)
    assert who_files(history) == files
    several = len(people_of(history)) > 1
    assert [c.key for c in hands_to_choose(history)] == (["Jo", "Al"] if several else [])
    assert chosen(hands_to_choose(history)) == ([files] if files else [])


# --- copies ---


class Clock:
    """A clock that a test sets."""

    now = 1_700_000_000_000

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        return self.now


@pytest.mark.parametrize(
    ("days", "said"), [(0, "today"), (1, "1 day old"), (2, "2 days old"), (40, "40 days old")]
)
def test_the_age_of_a_copy_is_said_in_days(days: int, said: str) -> None:
    """Whole days; before the first there is none yet; a clock set back makes it of today."""
    clock = Clock()
    history = History.open(MemoryDirectory(), clock)
    assert copy_age(history) == "none yet"
    note_copy(history)
    clock.now += days * DAY_MS
    assert copy_age(history) == said
    clock.now -= (days + 3) * DAY_MS
    assert copy_age(history) == "today"


@pytest.mark.parametrize("value", ["", 3, {}, {"ms": "yesterday"}, [1]])
def test_a_note_that_cannot_be_read_is_no_copy(value: Any) -> None:
    """Rather one copy too many than one too few."""
    assert copy_age(history_with(copy=value)) == "none yet"


# --- the sample, and the device ---


def test_the_sample_is_made_of_its_file_and_known_again_in_every_language() -> None:
    """Its label is translated; whether a job is the sample does not hang on the language."""
    job = sample_job(TRADE)
    written = json.loads((ASSETS / "sample.json").read_text(encoding="utf-8"))
    assert job.instrument.label == written["instrument"]["label"]
    assert len(job.readings) == len(written["readings"])
    assert is_sample(job, TRADE) and not is_sample(job_with("electric guitar"), TRADE)
    use(load_language("de"))
    assert is_sample(job, TRADE) and is_sample(sample_job(TRADE), TRADE)


def test_a_device_that_was_not_asked_yet_promises_nothing() -> None:
    """No storage, no scanner, nothing to install, until the device says so."""
    device = DeviceFacts()
    assert (device.storage, device.warnings, device.storage_facts) == ((), (), ())
    assert not (device.records_cleared or device.scans or device.install.can_install)
    assert device.lacks == {} and device.language == ""
