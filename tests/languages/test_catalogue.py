"""The German catalogue is whole, right in form, and compiled as it is written."""

import io
import subprocess
import sys

import pytest
from babel.messages.mofile import read_mo

from logic.languages import WRITTEN_IN, decimal_mark, languages, load_language
from mobile.publish.build import NUTWRIGHT
from mobile.publish.pack import app_files
from mobile.publish.stdlib import check_imports
from shared.bootstrap import ROOT
from shared.words import say, say_as, say_many, speaking
from tests.languages.catalogue import (
    COMPILED,
    add,
    compiled,
    english,
    facts,
    read,
    texts,
    untranslated,
    update,
    written,
)
from tests.languages.extract import everything_said
from tests.languages.pseudo import Pseudo, unsaid


def test_every_sentence_has_its_german() -> None:
    """Nothing that is said lacks a translation, in one form or both."""
    listed = {(english(message)[0], message.context or ""): message for message in read()}
    assert [said for said in everything_said() if said.key not in listed] == []
    assert [english(message)[0] for message in untranslated(read())] == []


def test_the_facts_of_a_sentence_stand_in_its_german() -> None:
    """A translation names exactly the facts that the English names, in every form."""
    for message in read():
        if message.id:
            # one of a thing may be named without its number
            free = {"count"} if len(texts(message)) == 2 else set()
            asked = set().union(*map(facts, english(message))) - free
            assert all(facts(form) - free == asked for form in texts(message)), texts(message)


def test_nothing_is_left_over() -> None:
    """Every entry is said somewhere, and none is only a guess."""
    catalogue = read()
    said = {said.key for said in everything_said()}
    listed = {(english(m)[0], m.context or "") for m in catalogue if m.id}
    assert listed - said == set()
    assert not catalogue.obsolete
    assert not any(message.fuzzy for message in catalogue if message.id)


def test_counted_sentences_have_both_german_forms() -> None:
    """Where English has one and many, German has two forms."""
    counted = {said.text for said in everything_said() if said.many}
    both = {english(message)[0] for message in read() if len(texts(message)) == 2}
    assert counted == both


def test_what_ships_is_what_is_written() -> None:
    """The compiled file is fresh, and updating keeps every translation."""
    catalogue = read()
    assert _contents(COMPILED.read_bytes()) == _contents(compiled(catalogue))
    before = compiled(catalogue)
    update(catalogue)
    assert _contents(compiled(catalogue)) == _contents(before)
    assert b"msgid" in written(catalogue)


def _contents(file: bytes) -> set[str]:
    """What a compiled file says, whichever program wrote it."""
    return {repr((m.id, m.string, m.context)) for m in read_mo(io.BytesIO(file)) if m.id}


def test_the_catalogue_speaks() -> None:
    """What was compiled is what the app says; English needs no file."""
    assert set(languages()) == {WRITTEN_IN, "de"}
    assert languages()["de"] == "Deutsch"
    with speaking(load_language("de")):
        assert say("Low chords sound sharp") != "Low chords sound sharp"
    assert say("Low chords sound sharp") == "Low chords sound sharp"
    assert (decimal_mark("en"), decimal_mark("de")) == (".", ",")
    with pytest.raises(KeyError):
        load_language("xx")


def test_the_site_ships_the_compiled_catalogue_and_what_reads_it() -> None:
    """Phones get the .mo, not its source, and keep the module that reads it; none is read early."""
    shipped = app_files(NUTWRIGHT)
    assert shipped["assets/languages/de.mo"] == COMPILED.read_bytes()
    assert not any(path.endswith(".po") for path in shipped)
    check_imports({"logic/languages.py": shipped["logic/languages.py"]})
    asked = "import sys, shared.words, logic.languages; from shared.words import say; say('Why')"
    early = f"{asked}; print(logic.languages.load_language.cache_info().currsize)"
    done = subprocess.run(
        [sys.executable, "-c", early], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "0"


def test_translations_are_added_by_their_english() -> None:
    """A filled-in list reaches the entries it names; what nobody says waits and is not compiled."""
    catalogue = read()
    update(catalogue)
    add(catalogue, {"Low chords sound sharp": "tief", "nobody says this": "Unsagbares"})
    assert catalogue.get("Low chords sound sharp").string == "tief"
    assert "nobody says this" in catalogue.obsolete
    assert b"Unsagbares" not in compiled(catalogue)


def test_the_pseudo_language_shows_what_was_never_said() -> None:
    """Sentences stand in brackets, one within another too; words outside them are found."""
    pseudo = Pseudo()
    with speaking(pseudo):
        inner = say_many("{count} slot", "{count} slots", 2)
        text = f"{say('Cut {what}.', what=inner)} Alder glue {say_as('verb', 'open')}"
    assert unsaid(text, "Alder") == ("glue",)
    assert pseudo.said == {("Cut {what}.", ""), ("{count} slot", ""), ("open", "verb")}
