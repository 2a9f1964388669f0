"""Reads, updates and compiles the catalogues in `assets/languages`: one .po for each language."""

from __future__ import annotations

import fcntl
import io
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from string import Formatter

from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from logic.languages import CATALOGUES
from tests.languages.extract import Said, everything_said

_ANY_DAY = datetime(2000, 1, 1, tzinfo=UTC)
"""So that the same sentences compile to the same bytes."""
_NO_HEAD = ('"Report', '"POT-', '"PO-Rev', '"Last-T', '"Language-T', '"Generated', "#, python-")
Translations = Mapping[str, str | list[str]]


def codes() -> tuple[str, ...]:
    """The code of every language that has a catalogue."""
    return tuple(sorted(path.stem for path in CATALOGUES.glob("*.po")))


def source(code: str) -> Path:
    """Where a language is written down."""
    return CATALOGUES / f"{code}.po"


def compiled_file(code: str) -> Path:
    """Where the app reads it."""
    return CATALOGUES / f"{code}.mo"


@contextmanager
def changing(code: str) -> Iterator[Catalog]:
    """A catalogue, locked against others, and written back with its compiled form."""
    with (Path(tempfile.gettempdir()) / "nutwright-languages.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        catalogue = read(code)
        yield catalogue
        source(code).write_bytes(written(catalogue))
        compiled_file(code).write_bytes(compiled(catalogue))


def read(code: str) -> Catalog:
    """A language as it is written down."""
    with source(code).open("rb") as file:
        return read_po(file, locale=code, domain="nutwright")


def written(catalogue: Catalog) -> bytes:
    """The text of the .po file."""
    text = io.BytesIO()
    write_po(text, catalogue, width=100, include_lineno=False)
    lines = text.getvalue().decode().splitlines(keepends=True)
    return "".join(line for line in lines if not line.startswith(_NO_HEAD)).encode()


def compiled(catalogue: Catalog) -> bytes:
    """The bytes of the .mo file: translated sentences only."""
    translated = Catalog(locale=catalogue.locale, creation_date=_ANY_DAY, revision_date=_ANY_DAY)
    for message in catalogue:
        if message.id and _texts(message):
            translated.add(message.id, message.string, context=message.context)
    file = io.BytesIO()
    write_mo(file, translated)
    return file.getvalue()


def update(catalogue: Catalog) -> None:
    """List what is said now, in its order; what nobody says waits at the end of the file."""
    old = {_key(message): message for message in catalogue if message.id}
    old = {_key(message): message for message in catalogue.obsolete.values()} | old
    for message in [message for message in catalogue if message.id]:
        catalogue.delete(message.id, message.context)
    catalogue.obsolete.clear()
    for said in everything_said():
        known = old.pop(said.key, None)
        forms = _kept(known, catalogue.num_plurals if said.many else 1)
        catalogue.add(_ids(said), forms, [(said.where, 1)], context=said.meant or None)
    for message in old.values():
        if _texts(message):
            message.locations = []
            catalogue.obsolete[_key(message)] = message  # type: ignore[index]


def add(catalogue: Catalog, translations: Translations) -> None:
    """Put `translations` in, by the English sentence."""
    listed = {_key(message): message for message in catalogue if message.id}
    listed = {_key(message): message for message in catalogue.obsolete.values()} | listed
    for english, translated in translations.items():
        meant, _, text = english.rpartition("::")
        ids = (text, text) if isinstance(translated, list) else text
        message = listed.get((text, meant)) or Message(ids, context=meant or None)
        message.string = tuple(translated) if isinstance(translated, list) else translated
        if (text, meant) not in listed and translated:
            catalogue.obsolete[text] = message


def untranslated(catalogue: Catalog) -> tuple[Message, ...]:
    """The messages that have no translation, or not every form of it."""
    return tuple(message for message in catalogue if message.id and not _texts(message))


def texts(message: Message) -> tuple[str, ...]:
    """The forms of a message's translation."""
    return (message.string,) if isinstance(message.string, str) else tuple(message.string)


def english(message: Message) -> tuple[str, ...]:
    """The forms of a message in English."""
    return (message.id,) if isinstance(message.id, str) else tuple(message.id)


def facts(sentence: str) -> set[str]:
    """The names of the facts in a sentence."""
    return {name for _, name, _, _ in Formatter().parse(sentence) if name is not None}


def _texts(message: Message) -> bool:
    return bool(texts(message)) and all(texts(message))


def _key(message: Message) -> tuple[str, str]:
    return english(message)[0], message.context or ""


def _ids(said: Said) -> str | tuple[str, str]:
    return (said.text, said.many) if said.many else said.text


def _kept(known: Message | None, count: int) -> str | tuple[str, ...]:
    """The translation there is, where it has as many forms as it needs."""
    forms = texts(known) if known is not None else ()
    if len(forms) != count:
        forms = (forms[0] if forms and count == 1 else "",) * count
    return forms if count > 1 else forms[0]
