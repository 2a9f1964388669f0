"""Who works at this bench. A stroke takes what a hand makes it take, so each hand is learned apart.

The names are the bench's own and shared by its devices; whose hand is at work, each device is told
for itself. A bench of fewer than two names is never asked.
"""

from __future__ import annotations

import re

from logic.app.session.settings import kept_as
from logic.app.views.pieces import Choice
from logic.history.history import History

PEOPLE = "people"
"""The setting that holds the bench's names as they were written."""
WHO = "who"
"""The setting that holds whose hand is at work; each device has its own."""
_MOST, _LONGEST = 6, 24


def people_written(history: History) -> str:
    """The bench's names as they were written."""
    kept = history.setting(PEOPLE)
    return kept if isinstance(kept, str) else ""


def people_of(history: History) -> tuple[str, ...]:
    """The bench's names, each once, in the order in which they were written."""
    names = (name.strip()[:_LONGEST] for name in re.split(r"[,;·\n]", people_written(history)))
    return tuple(dict.fromkeys(filter(None, names)))[:_MOST]


def who_files(history: History) -> str:
    """Whose hand is at work on this device; empty where nobody was named or need be."""
    kept, people = history.setting(kept_as(WHO, history)), people_of(history)
    return kept if len(people) > 1 and kept in people else ""


def hands_to_choose(history: History) -> tuple[Choice, ...]:
    """Everybody whose hand it could be; empty where there is only one."""
    people, who = people_of(history), who_files(history)
    return tuple(Choice(name, name, chosen=name == who) for name in people if len(people) > 1)
