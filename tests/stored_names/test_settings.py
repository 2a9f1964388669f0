"""The names and values of what `setting.changed` keeps."""

from __future__ import annotations

from logic.app.presenters.kit import BENCH_KIT, IN_HAND
from logic.app.session.copies import note_copy
from logic.app.session.pace import took_kept, took_name
from logic.app.session.people import PEOPLE, WHO
from logic.app.session.rack import Rack, kept_rack, rack_event
from logic.app.session.settings import (
    KEY,
    KEY_ACTIONS,
    LANGUAGE,
    OWN,
    SETTINGS,
    TECHNICIAN,
    WORKSHOP,
    kept_as,
)
from shared.job import RaiseOption
from tests.logic.history.factory import open_history

VALUES = {
    "language": {"device", "en", "de"},
    "unit": {"thou", "in", "mm"},
    "mark": {".", ","},
    "notes": {"B", "H"},
    "to target": {"off", "on"},
    "hand": {"right", "left"},
    "theme": {"night", "paper", "sun"},
    "size": {"100", "125", "150", "200"},
    "speech": {"off", "on"},
    "rate": {"1", "0.8", "1.25", "1.6"},
    "awake": {"on", "off"},
    "buzz": {"on", "off"},
}
DEFAULTS = {
    "language": "device",
    "unit": "thou",
    "to target": "off",
    "hand": "right",
    "theme": "night",
    "size": "100",
    "speech": "off",
    "rate": "1",
    "awake": "on",
    "buzz": "on",
}
KEYS = {
    "move": ("Page Down", "Arrow Right", "Arrow Down", " "),
    "take": ("Page Up", "Arrow Left", "Arrow Up", "Enter"),
    "undo": ("Backspace", "U"),
    "answer-1": ("1",),
    "answer-2": ("2",),
    "answer-3": ("3",),
    "answer-4": ("4",),
    "next": ("N",),
    "previous": ("B",),
    "plan": ("P",),
    "card": ("C",),
    "lack": ("L",),
    "say": ("S",),
    "back": ("Escape",),
    "home": ("H",),
}


def test_settings_keep_their_names_and_values() -> None:
    """Every setting is kept by its name, with its words; the first is what stands unasked."""
    choices = {name: list(values) for name, (_, values) in SETTINGS.items()}
    assert set(choices) >= set(VALUES)
    assert all(set(choices[name]) >= values for name, values in VALUES.items())
    assert {name: choices[name][0] for name in DEFAULTS} == DEFAULTS
    assert LANGUAGE == "language"


def test_keys_are_kept_under_their_deeds() -> None:
    """The setting `key move` holds the key that lights the next thing, and so on."""
    assert KEY == "key "
    assert {action: keys for action, (_, keys) in KEY_ACTIONS.items() if action in KEYS} == KEYS


def test_what_each_device_has_for_itself_carries_its_name() -> None:
    """Language, hand at work, rack and copy are kept per device; all else is the bench's."""
    history = open_history()
    assert {*OWN} >= {"language", "who", "rack", "copy"}
    assert kept_as("language", history) == "language d1"
    assert kept_as("unit", history) == "unit"


def test_other_settings_keep_their_names() -> None:
    """People, the hand at work, the bag in hand and the bench's own bag."""
    assert (PEOPLE, WHO, IN_HAND, BENCH_KIT) == ("people", "who", "bag", "bench")


def test_what_sheets_say_of_the_workshop_keeps_its_names() -> None:
    """The workshop is the bench's, the technician each device's own."""
    history = open_history()
    assert (WORKSHOP, TECHNICIAN) == ("workshop", "technician")
    assert kept_as(WORKSHOP, history) == "workshop"
    assert kept_as(TECHNICIAN, history) == "technician d1"


def test_minutes_taken_are_kept_as_ever() -> None:
    """What a way of raising took in a job: the setting's name and the words of its value."""
    assert took_name("j1", "new nut") == "took j1 new nut"
    assert took_kept(25, RaiseOption(method="shim", minutes=30.0)) == "25 of 30"


def test_a_rack_is_kept_as_ever() -> None:
    """A rack of quick checks: its setting, and the instruments that wait and that are gone."""
    history = open_history()
    rack = Rack(("i2",), (("i1", "j1"),))
    kind, body = rack_event(history, rack)
    value = {"waiting": ["i2"], "gone": [["i1", "j1"]]}
    assert (str(kind), body) == ("setting.changed", {"name": "rack d1", "value": value})
    history.record(kind, body)
    assert kept_rack(history) == rack


def test_a_copy_handed_out_is_kept_as_ever() -> None:
    """When the last copy left this device, and how many entries it held."""
    history = open_history()
    note_copy(history)
    kept = history.setting("copy d1")
    assert isinstance(kept, dict)
    assert set(kept) == {"ms", "entries"}
