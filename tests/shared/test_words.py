"""Sentences in the language of the bench."""

from __future__ import annotations

from gettext import NullTranslations

from shared.words import English, mark, say, say_as, say_many, speaking


class Shouting(NullTranslations):
    """A language made up for these tests: everything in capitals, facts in another order."""

    def gettext(self, message: str) -> str:
        """Capitals, but for the names of facts."""
        return {"String {name}, {side}.": "{side}: STRING {name}"}.get(message, message.upper())

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """A language with one form for nought and one."""
        return "FEW {count}" if n < 2 else "LOTS {count}"

    def pgettext(self, context: str, message: str) -> str:
        """Says what was meant."""
        return f"{message.upper()}/{context}"


def test_without_a_catalogue_a_sentence_is_itself_with_its_facts_in_place() -> None:
    """English is what the code says."""
    assert say("String {name}, {side}.", name="5", side="left") == "String 5, left."
    assert say_many("one string", "{count} strings", 1) == "one string"
    assert say_many("one string", "{count} strings", 0) == "0 strings"
    assert say_as("of weight", "Light") == "Light"


def test_a_catalogue_may_order_the_facts_and_count_in_its_own_way() -> None:
    """Whole sentences are turned into the other language, and its plurals are its own."""
    with speaking(Shouting()):
        assert say("String {name}, {side}.", name="5", side="left") == "left: STRING 5"
        assert say_many("one string", "{count} strings", 0) == "FEW 0"
        assert say_many("one string", "{count} strings", 2) == "LOTS 2"
        assert say_as("of weight", "Light") == "LIGHT/of weight"
    assert say("Plan") == "Plan"


def test_a_sentence_without_facts_may_hold_braces_and_an_empty_one_stays_empty() -> None:
    """A catalogue's header, which gettext gives for an empty message, is never said."""
    with speaking(Shouting()):
        assert say("") == ""
    assert say("{not a fact}") == "{not a fact}"


def test_marking_changes_nothing_and_english_serves_as_a_catalogue() -> None:
    """A marked sentence is said later, in whatever language is spoken then."""
    assert mark("Plan") == "Plan"
    with speaking(English()):
        assert say(mark("Plan")) == "Plan"
