"""The languages that ship: one compiled catalogue each, read only when its language is used.

A language is a file in assets/languages, and nothing else: its code is the file's name, and what it
calls itself stands in it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from shared.words import Catalogue, English

CATALOGUES = Path(__file__).resolve().parent.parent / "assets" / "languages"
WRITTEN_IN = "en"


@cache
def languages() -> tuple[str, ...]:
    """The code (ISO 639-1) of every language that ships, the one we write in first."""
    return (WRITTEN_IN, *sorted(path.stem for path in CATALOGUES.glob("*.mo")))


def chosen_language(chosen: str, device: str) -> str:
    """The language to speak: the one `chosen`, else that of the device where it ships."""
    for tag in (chosen, device):
        code = tag.replace("_", "-").split("-")[0].lower()
        if code in languages():
            return code
    return WRITTEN_IN


def language_name(code: str) -> str:
    """What the language `code` calls itself; KeyError for one that does not ship."""
    return load_language(code).pgettext("language", "English")


def decimal_mark(code: str) -> str:
    """What stands between whole and part of a number in the language `code`."""
    return load_language(code).pgettext("decimal mark", ".")


@cache
def load_language(code: str) -> Catalogue:
    """The sentences of the language `code`; KeyError for one that does not ship."""
    if code == WRITTEN_IN:
        return English()
    if code not in languages():
        raise KeyError(code)
    import gettext  # nobody who reads English needs it

    with (CATALOGUES / f"{code}.mo").open("rb") as compiled:
        return gettext.GNUTranslations(compiled)
