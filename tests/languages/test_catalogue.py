"""Every catalogue is whole, right in form, and compiled as it is written."""

import io
import subprocess
import sys

import pytest
from babel.messages.mofile import read_mo

from logic.languages import (
    WRITTEN_IN,
    decimal_mark,
    language_name,
    languages,
    load_language,
)
from mobile.publish.build import NUTWRIGHT
from mobile.publish.pack import app_files
from mobile.publish.stdlib import check_imports
from shared.bootstrap import ROOT
from shared.words import say, say_as, say_many, speaking, spoken_language
from tests.languages.catalogue import (
    add,
    codes,
    compiled,
    compiled_file,
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

each_language = pytest.mark.parametrize("code", codes())


@each_language
def test_every_sentence_is_translated(code: str) -> None:
    """Nothing that is said lacks a translation, in any of its forms."""
    listed = {(english(message)[0], message.context or ""): message for message in read(code)}
    assert [said for said in everything_said() if said.key not in listed] == []
    assert [english(message)[0] for message in untranslated(read(code))] == []


@each_language
def test_the_facts_of_a_sentence_stand_in_its_translation(code: str) -> None:
    """A translation names exactly the facts that the English names, in every form."""
    for message in read(code):
        if message.id:
            # one of a thing may be named without its number
            free = {"count"} if len(texts(message)) > 1 else set()
            asked = set().union(*map(facts, english(message))) - free
            assert all(facts(form) - free == asked for form in texts(message)), texts(message)


@each_language
def test_counted_sentences_have_every_form(code: str) -> None:
    """Where English has one and many, a translation has as many forms as its language counts by."""
    catalogue = read(code)
    counted = {said.text for said in everything_said() if said.many}
    several = {english(m)[0] for m in catalogue if len(texts(m)) == catalogue.num_plurals > 1}
    assert counted == several


@each_language
def test_what_ships_is_what_is_written(code: str) -> None:
    """The compiled file is fresh, and updating keeps every translation."""
    catalogue = read(code)
    assert _contents(compiled_file(code).read_bytes()) == _contents(compiled(catalogue))
    before = compiled(catalogue)
    update(catalogue)
    assert _contents(compiled(catalogue)) == _contents(before)
    assert b"msgid" in written(catalogue)


@each_language
def test_a_catalogue_says_which_language_it_is(code: str) -> None:
    """Its code is the file's name, and it has a name for itself other than the English one."""
    with speaking(load_language(code)):
        assert spoken_language() == code
    assert language_name(code) not in ("", "English")


def _contents(file: bytes) -> set[str]:
    """What a compiled file says, whichever program wrote it."""
    return {repr((m.id, m.string, m.context)) for m in read_mo(io.BytesIO(file)) if m.id}


def test_the_catalogue_speaks() -> None:
    """What was compiled is what the app says; English needs no file."""
    assert languages() == (WRITTEN_IN, *codes())
    assert (language_name("en"), language_name("de")) == ("English", "Deutsch")
    with speaking(load_language("de")):
        assert say("Low chords sound sharp") != "Low chords sound sharp"
    assert say("Low chords sound sharp") == "Low chords sound sharp"
    assert (decimal_mark("en"), decimal_mark("de")) == (".", ",")
    with pytest.raises(KeyError):
        load_language("xx")


def test_the_site_ships_the_compiled_catalogue_and_what_reads_it() -> None:
    """Phones get the .mo, not its source, and keep the module that reads it; none is read early."""
    shipped = app_files(NUTWRIGHT)
    assert shipped["assets/languages/de.mo"] == compiled_file("de").read_bytes()
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
    catalogue = read("de")
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
