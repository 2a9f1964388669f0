"""How this bench likes to read, to be spoken to, and what its keys do."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from logic.desk.views import Choice, KeyLine, SettingsView
from logic.desk.wording import Wording
from logic.history.history import History
from shared.units import Unit

SETTINGS: dict[str, tuple[str, dict[str, str]]] = {
    "unit": ("Lengths in", {"thou": "thou", "in": "inch", "mm": "mm"}),
    "mark": ("Decimal mark", {".": "0.5", ",": "0,5"}),
    "hand": ("Hand that taps", {"right": "Right", "left": "Left"}),
    "theme": ("Light", {"night": "Night", "paper": "Paper", "sun": "Sun"}),
    "size": ("Text size", {"100": "100 %", "125": "125 %", "150": "150 %", "200": "200 %"}),
    "speech": ("Say aloud what comes next", {"off": "Off", "on": "On"}),
    "rate": ("Voice", {"1": "Even", "0.8": "Slow", "1.25": "Brisk", "1.6": "Fast"}),
    "awake": ("Screen while measuring", {"on": "Stays on", "off": "As the device likes"}),
    "buzz": ("Kept answer", {"on": "Felt in the hand", "off": "Only shown"}),
}
"""Each setting: its title, its values and their words; the first value is the default."""
DEEDS: dict[str, tuple[str, tuple[str, ...]]] = {
    "move": ("Light the next", ("Page Down", "Arrow Right", "Arrow Down", " ")),
    "take": ("Take what is lit", ("Page Up", "Arrow Left", "Arrow Up", "Enter")),
    "undo": ("Undo", ("Backspace", "U")),
    "answer-1": ("First answer", ("1",)),
    "answer-2": ("Second answer", ("2",)),
    "answer-3": ("Third answer", ("3",)),
    "answer-4": ("Fourth answer", ("4",)),
    "next": ("Next string", ("N",)),
    "previous": ("String before", ("B",)),
    "plan": ("Plan", ("P",)),
    "say": ("Say it again", ("S",)),
    "back": ("One screen back", ("Escape",)),
    "home": ("Home", ("H",)),
}
"""What a key or a pedal can do: its words and the keys it has from the start.

Pedals that turn pages send one of four pairs: page up and down, two arrows, or enter and space.
With every pair one switch lights the next thing to touch and the other takes it.
"""
KEY_NAMES = {" ": "Space"}
KEY = "key "
"""Before the name of a deed: the setting that holds the key given to it."""


def settings_of(history: History) -> dict[str, str]:
    """Every setting's value; what was never set, or set to what we do not know, is the default."""
    values = {}
    for name, (_, choices) in SETTINGS.items():
        kept = history.setting(name)
        values[name] = kept if kept in choices else next(iter(choices))
    return values | {KEY + deed: _text(history.setting(KEY + deed)) for deed in DEEDS}


def _text(kept: object) -> str:
    return kept if isinstance(kept, str) else ""


def deeds_by_key(settings: dict[str, str]) -> dict[str, str]:
    """Which deed each key does; a key that was given to a deed does that and nothing else."""
    first = {key: deed for deed, (_, keys) in DEEDS.items() for key in keys}
    given = {settings.get(KEY + deed, ""): deed for deed in DEEDS}
    return {key: deed for key, deed in (first | given).items() if key}


def wording_of(settings: dict[str, str]) -> Wording:
    """How lengths are put into words on this bench."""
    return Wording(Unit(settings["unit"]), settings["mark"])


def settings_view(
    settings: dict[str, str],
    storage: tuple[str, ...],
    lacks: Mapping[str, str] = MappingProxyType({}),
    waiting: str = "",
) -> SettingsView:
    """Every setting with its choices and what the device lacks for it, the keys, the storage.

    `waiting` is the deed whose key is about to be pressed.
    """
    groups = tuple(
        (
            name,
            title,
            tuple(Choice(key, word, chosen=settings[name] == key) for key, word in choices.items()),
        )
        for name, (title, choices) in SETTINGS.items()
    )
    return SettingsView(groups, storage, tuple(lacks.items()), _key_lines(settings), waiting)


def _key_lines(settings: dict[str, str]) -> tuple[KeyLine, ...]:
    by_key = deeds_by_key(settings)
    return tuple(
        KeyLine(
            deed,
            title,
            " · ".join(KEY_NAMES.get(key, key) for key, does in by_key.items() if does == deed),
            bool(settings[KEY + deed]),
        )
        for deed, (title, _) in DEEDS.items()
    )
