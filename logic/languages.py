"""The languages that ship: their names, and the catalogue of each, read only when it is used."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from shared.words import Catalogue, English

CATALOGUES = Path(__file__).resolve().parent.parent / "assets" / "languages"
WRITTEN_IN = "en"
_NAMES = {WRITTEN_IN: "English", "de": "Deutsch"}


def languages() -> dict[str, str]:
    """Every language by its code (ISO 639-1), with the name that it has in itself."""
    return dict(_NAMES)


def chosen_language(chosen: str, device: str) -> str:
    """The language to speak: the one `chosen`, else that of the device where it ships."""
    for tag in (chosen, device):
        code = tag.replace("_", "-").split("-")[0].lower()
        if code in _NAMES:
            return code
    return WRITTEN_IN


def decimal_mark(code: str) -> str:
    """What stands between whole and part of a number in the language `code`."""
    return load_language(code).pgettext("decimal mark", ".")


@cache
def load_language(code: str) -> Catalogue:
    """The sentences of the language `code`; KeyError for one that does not ship."""
    if code == WRITTEN_IN:
        return English()
    import gettext  # nobody who reads English needs it

    _ = _NAMES[code]
    with (CATALOGUES / f"{code}.mo").open("rb") as compiled:
        return gettext.GNUTranslations(compiled)
