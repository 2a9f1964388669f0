"""Reads, updates and compiles `assets/languages/de.po`."""

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

SOURCE = CATALOGUES / "de.po"
COMPILED = CATALOGUES / "de.mo"
_ANY_DAY = datetime(2000, 1, 1, tzinfo=UTC)
"""So that the same sentences compile to the same bytes."""
_NO_HEAD = ('"Report', '"POT-', '"PO-Rev', '"Last-T', '"Language-T', '"Generated', "#, python-")
Translations = Mapping[str, str | list[str]]


@contextmanager
def changing() -> Iterator[Catalog]:
    """The catalogue, locked against others, and written back with its compiled form."""
    with (Path(tempfile.gettempdir()) / "nutwright-languages.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        catalogue = read()
        yield catalogue
        SOURCE.write_bytes(written(catalogue))
        COMPILED.write_bytes(compiled(catalogue))


def read() -> Catalog:
    """German as it is written down."""
    with SOURCE.open("rb") as source:
        return read_po(source, locale="de", domain="nutwright")


def written(catalogue: Catalog) -> bytes:
    """The text of the .po file."""
    text = io.BytesIO()
    write_po(text, catalogue, width=100, include_lineno=False)
    lines = text.getvalue().decode().splitlines(keepends=True)
    return "".join(line for line in lines if not line.startswith(_NO_HEAD)).encode()


def compiled(catalogue: Catalog) -> bytes:
    """The bytes of the .mo file: translated sentences only."""
    translated = Catalog(locale="de", creation_date=_ANY_DAY, revision_date=_ANY_DAY)
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
        catalogue.add(_ids(said), _kept(known, said), [(said.where, 1)], context=said.meant or None)
    for message in old.values():
        if _texts(message):
            message.locations = []
            catalogue.obsolete[_key(message)] = message  # type: ignore[index]


def add(catalogue: Catalog, translations: Translations) -> None:
    """Put `translations` in, by the English sentence."""
    listed = {_key(message): message for message in catalogue if message.id}
    listed = {_key(message): message for message in catalogue.obsolete.values()} | listed
    for english, german in translations.items():
        meant, _, text = english.rpartition("::")
        ids = (text, text) if isinstance(german, list) else text
        message = listed.get((text, meant)) or Message(ids, context=meant or None)
        message.string = tuple(german) if isinstance(german, list) else german
        if (text, meant) not in listed and german:
            catalogue.obsolete[text] = message


def untranslated(catalogue: Catalog) -> tuple[Message, ...]:
    """The messages that have no German, or only half."""
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


def _kept(known: Message | None, said: Said) -> str | tuple[str, ...]:
    forms = texts(known) if known is not None else ()
    if said.many:
        return forms if len(forms) == 2 else ("", "")
    return forms[0] if forms else ""
