"""The settings as a view: what each is called, what it can be, and the keys of the bench."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from logic.app.session.settings import (
    KEY,
    KEY_ACTIONS,
    KEY_NAMES,
    LANGUAGE,
    SETTINGS,
    actions_by_key,
)
from logic.app.views.views import Choice, KeyLine, SettingsView
from logic.languages import language_name, languages
from shared.words import say, say_as


def settings_view(
    settings: dict[str, str],
    storage: tuple[str, ...],
    lacks: Mapping[str, str] = MappingProxyType({}),
    waiting: str = "",
    people: str = "",
    names: tuple[tuple[str, str], ...] = (),
) -> SettingsView:
    """Every setting with its choices and what the device lacks for it, the keys, the storage.

    `waiting` is the action whose key is about to be pressed, `people` the names of the bench,
    `names` what is written of workshop and technician.
    """
    groups = tuple(
        (
            name,
            say_as("setting", "Light") if name == "theme" else say(title),
            tuple(
                Choice(key, _choice_word(name, key, word), chosen=settings[name] == key)
                for key, word in choices.items()
            ),
        )
        for name, (title, choices) in SETTINGS.items()
    )
    lacking = tuple((name, say(words)) for name, words in lacks.items())
    keys, kept = _key_lines(settings), tuple(map(say, storage))
    return SettingsView(groups, kept, lacking, keys, waiting, people, names)


def _choice_word(setting: str, key: str, word: str) -> str:
    """What a choice is called: a language by its own name for itself, whatever is spoken."""
    return language_name(key) if setting == LANGUAGE and key in languages() else say(word)


def _key_name(key: str) -> str:
    return say(KEY_NAMES[key]) if key in KEY_NAMES else key


def _key_lines(settings: dict[str, str]) -> tuple[KeyLine, ...]:
    by_key = actions_by_key(settings)
    return tuple(
        KeyLine(
            action,
            say(title),
            " · ".join(_key_name(key) for key, does in by_key.items() if does == action),
            bool(settings[KEY + action]),
        )
        for action, (title, _) in KEY_ACTIONS.items()
    )
