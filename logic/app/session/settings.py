"""How this bench likes to read, to be spoken to, and what its keys do."""

from __future__ import annotations

from logic.app.wording.wording import Wording
from logic.history.documents.bodies import device_setting
from logic.history.history import History
from logic.languages import languages
from shared.units import Unit
from shared.words import FigureStyle, decimal_mark, mark, note_names

LANGUAGE = "language"
_MARK = "mark"
_NOTES = "notes"
TO_TARGET = "to target"
SETTINGS: dict[str, tuple[str, dict[str, str]]] = {
    LANGUAGE: (
        mark("Language"),
        {"device": mark("As the device"), **dict.fromkeys(languages(), "")},
    ),
    "unit": (mark("Lengths in"), {"thou": mark("thou"), "in": mark("inch"), "mm": "mm"}),
    _MARK: (mark("Decimal mark"), {".": "0.5", ",": "0,5"}),
    _NOTES: (mark("Names of notes"), {"B": mark("B and B♭"), "H": mark("H and B")}),
    TO_TARGET: (
        mark("Bring every slot down to its target"),
        {"off": mark("When asked for"), "on": mark("At every visit")},
    ),
    "hand": (mark("Hand that taps"), {"right": mark("Right"), "left": mark("Left")}),
    "theme": (
        "Light",
        {"night": mark("Night"), "paper": mark("Paper"), "sun": mark("Sun")},
    ),
    "size": (
        mark("Text size"),
        {"100": "100 %", "125": "125 %", "150": "150 %", "200": "200 %"},
    ),
    "speech": (mark("Say aloud what comes next"), {"off": mark("Off"), "on": mark("On")}),
    "rate": (
        mark("How fast it speaks"),
        {"1": mark("Usual"), "0.8": mark("Slow"), "1.25": mark("Brisk"), "1.6": mark("Fast")},
    ),
    "awake": (
        mark("Screen while measuring"),
        {"on": mark("Stays on"), "off": mark("As the device is set")},
    ),
    "buzz": (
        mark("When an answer is kept"),
        {"on": mark("Felt in the hand"), "off": mark("Only shown")},
    ),
}
"""Each setting: its title, its values and their words; the first value is the default, but the
decimal mark and the names of notes are the language's own until one is chosen. Languages name
themselves."""
KEY_ACTIONS: dict[str, tuple[str, tuple[str, ...]]] = {
    "move": (mark("Light the next"), ("Page Down", "Arrow Right", "Arrow Down", " ")),
    "take": (mark("Take what is lit"), ("Page Up", "Arrow Left", "Arrow Up", "Enter")),
    "undo": (mark("Undo"), ("Backspace", "U")),
    "answer-1": (mark("First answer"), ("1",)),
    "answer-2": (mark("Second answer"), ("2",)),
    "answer-3": (mark("Third answer"), ("3",)),
    "answer-4": (mark("Fourth answer"), ("4",)),
    "next": (mark("Next string"), ("N",)),
    "previous": (mark("Previous string"), ("B",)),
    "plan": (mark("Plan"), ("P",)),
    "card": (mark("The string's card"), ("C",)),
    "lack": (mark("I haven't this leaf"), ("L",)),
    "say": (mark("Say it again"), ("S",)),
    "back": (mark("One screen back"), ("Escape",)),
    "home": (mark("Home"), ("H",)),
}
"""What a key or a pedal can do: its words and the keys it has from the start.

Pedals that turn pages send one of four pairs: page up and down, two arrows, or enter and space.
With every pair one switch lights the next thing to touch and the other takes it.
"""
KEY_NAMES = {
    " ": mark("Space"),
    "Enter": mark("Enter"),
    "Escape": mark("Escape"),
    "Backspace": mark("Backspace"),
    "Page Down": mark("Page Down"),
    "Page Up": mark("Page Up"),
    "Arrow Right": mark("Arrow Right"),
    "Arrow Left": mark("Arrow Left"),
    "Arrow Up": mark("Arrow Up"),
    "Arrow Down": mark("Arrow Down"),
}
WORKSHOP, TECHNICIAN = "workshop", "technician"
"""The settings that hold what sheets say of the workshop and of who did the work."""
LONGEST_NAME = 120
OWN = (LANGUAGE, "who", "rack", "copy", TECHNICIAN)
"""What each device has for itself: which tongue it speaks, whose hand works at it, where its rack
stands, when a copy was made of it. All else is the bench's."""
KEY = "key "
"""Before the name of an action: the setting that holds the key given to it."""


def of_this_device(name: str, history: History) -> str:
    """The name under which the history holds a setting that each device has for itself, which
    goes with the device when its name changes."""
    return device_setting(name, history.device)


def kept_as(name: str, history: History) -> str:
    """The name under which the history holds a setting."""
    return of_this_device(name, history) if name in OWN else name


def settings_of(history: History) -> dict[str, str]:
    """Every setting's value; what was never set, or set to what we do not know, is the default."""
    values = {}
    for name, (_, choices) in SETTINGS.items():
        kept = _text(history.setting(kept_as(name, history)))
        values[name] = kept if kept in choices else _default(name)
    return values | {KEY + action: _text(history.setting(KEY + action)) for action in KEY_ACTIONS}


def _default(name: str) -> str:
    """What stands while nothing was chosen."""
    of_the_language = {_MARK: decimal_mark, _NOTES: note_names}
    if name in of_the_language:
        return of_the_language[name]()
    return next(iter(SETTINGS[name][1]))


def name_written(history: History, name: str) -> str:
    """What was written of the workshop or the technician; empty where nobody did."""
    return _text(history.setting(kept_as(name, history))).strip()[:LONGEST_NAME]


def _text(kept: object) -> str:
    return kept if isinstance(kept, str) else ""


def actions_by_key(settings: dict[str, str]) -> dict[str, str]:
    """Which action each key does; a key that was given to an action does that and nothing else."""
    first = {key: action for action, (_, keys) in KEY_ACTIONS.items() for key in keys}
    given = {settings.get(KEY + action, ""): action for action in KEY_ACTIONS}
    return {key: action for key, action in (first | given).items() if key}


def wording_of(settings: dict[str, str]) -> Wording:
    """How lengths are put into words on this bench."""
    return Wording(Unit(settings["unit"]), settings["mark"])


def figure_style_of(settings: dict[str, str]) -> FigureStyle:
    """How sentences write figures on this bench."""
    return FigureStyle(settings["unit"], decimal_mark=settings[_MARK], notes=settings[_NOTES])
