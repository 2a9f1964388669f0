"""Circumstances that people tell and that answer a check: told, contradicted, denied."""

from __future__ import annotations

import pytest

from logic.bench.checks.complaints import understood
from logic.bench.checks.gates import evaluate_gates
from logic.bench.instrument.presets import preset_instrument
from logic.bench.plan.plan import make_plan
from logic.bench.tables.complaints import ComplaintRow
from logic.testing import LOOKED_AT, TRADE, gate_named, job, touches
from shared.job import CallKind, GateState, Job
from shared.words import say

HIGH = [*touches("0.036 in", "none"), *touches("0.040 in", "heavy")]
FACTS = [row for row in TRADE.complaints.complaints if row.fact]


def told(words: str, **checks: str) -> Job:
    """Strings far too high, relief and first frets looked at, and this said."""
    return job(complaint=words, readings=HIGH, checks=LOOKED_AT | checks)


def facts_in(words: str) -> set[str]:
    """The facts that were heard in a telling."""
    made = Job(instrument=preset_instrument("electric guitar", TRADE), complaint=words)
    return {one.row.id for one in understood(made, TRADE).heard if one.row.fact}


TOLD = [
    ("I measured it with the capo on", "capo left on"),
    ("oh, the capo was still on when I took the readings", "capo left on"),
    ("forgot to take the capo off", "capo left on"),
    ("Kapo war noch drauf beim Messen", "capo left on"),
    ("beim Ablesen war der Kapo noch dran", "capo left on"),
    ("strings are still slack, I let them down for the flight", "strings let down"),
    ("it is not up to pitch", "strings let down"),
    ("took the tension off for posting", "strings let down"),
    ("Saiten sind noch runtergelassen vom Flug", "strings let down"),
    ("ist noch nicht gestimmt", "strings let down"),
    ("it's tuned a fourth down at the moment", "not as it is played"),
    ("not the tuning I play it in", "not as it is played"),
    ("zurzeit einen Ton tiefer gestimmt", "not as it is played"),
    ("there's a bit of credit card under the nut", "shim put in"),
    ("somebody put a strip of veneer under the nut", "shim put in"),
    ("ein Stück Furnier liegt unter dem Sattel", "shim put in"),
    ("der Sattel ist unterlegt", "shim put in"),
    ("it's my grandfather's 1930s guitar and all original", "old or dear"),
    ("this is a family heirloom", "old or dear"),
    ("das ist ein Erbstück", "old or dear"),
    ("die Gitarre ist ziemlich wertvoll", "old or dear"),
    ("we're on in ten minutes", "plays in minutes"),
    ("show starts in 15 minutes", "plays in minutes"),
    ("I'm about to go on", "plays in minutes"),
    ("in zehn Minuten muss ich auf die Bühne", "plays in minutes"),
    ("bin gleich dran", "plays in minutes"),
    ("zero fret guitar, stiff at the first fret", "has a zero fret"),
    ("hat einen Nullbund", "has a zero fret"),
    ("it has a locking nut", "has a clamping nut"),
    ("mit Klemmsattel", "has a clamping nut"),
    ("roller nut, strings sit high", "has a roller nut"),
    ("I measured from the wood up", "read over the board"),
    ("measured down to the fretboard", "read over the board"),
    ("gemessen habe ich vom Griffbrett aus", "read over the board"),
    ("the first frets are worn flat", "worn frets"),
    ("loose fret at the first position", "worn frets"),
    ("Bünde sind vorn ganz platt gespielt", "worn frets"),
    ("der erste Bund ist locker", "worn frets"),
    ("I raised the saddle after I measured it", "changed since it was read"),
    ("nach dem Messen hab ich den Steg höher gestellt", "changed since it was read"),
    ("frets are tied on", "tied frets"),
    ("I measured it flat on the bench", "read lying"),
    ("gemessen hab ich im Liegen", "read lying"),
    ("the strings are years old", "strings not sound"),
    ("die Saiten sind verrostet", "strings not sound"),
    ("the slot was filled with superglue, still wet", "fill not hard"),
    ("ein Loch mit Harz aufgefüllt, noch weich", "fill not hard"),
    ("a tuner is loose", "loose parts"),
    ("an der Mechanik ist eine Schraube locker", "loose parts"),
    ("the truss rod is slack", "rod slack"),
]
BARS_LITTLE = [
    ("it is a fretless, stiff near the nut", "fretless"),
    ("bundloser Bass", "fretless"),
    ("the fifth is just a drone", "never fretted"),
    ("it has diatonic frets", "frets of its own"),
    ("the head is slack", "head slack"),
]
"""What bars a cut on some instruments alone, or inside the window."""


@pytest.mark.parametrize(("said", "fact"), [*TOLD, *BARS_LITTLE], ids=lambda each: each[:40])
def test_a_circumstance_is_heard_however_it_is_told(said: str, fact: str) -> None:
    """English and German, in one clause among others."""
    assert facts_in(said) == {fact}


NOT_TOLD = [
    "no capo",
    "nicht mit Kapo gemessen",
    "I measured it with the capo off",
    "measured the relief with a capo on the first fret",
    "I always play with a capo at the second fret",
    "With a capo on it's in tune",
    "the strings are not slack",
    "the brace is loose",
    "strings feel floppy",
    "it used to be tuned down",
    "there is no shim under the nut",
    "nichts unter dem Sattel",
    "there's a crack under the nut",
    "nothing valuable, a cheap one",
    "kein Erbstück",
    "my fingers are sore after ten minutes",
    "goes out of tune in ten minutes",
    "nach zehn Minuten tut die Hand weh",
    "it has no locking nut",
    "locking tuners",
    "kein Nullbund",
    "the strings are miles off the fretboard",
    "so weit vom Griffbrett weg",
    "frets are fine",
    "die Bünde sind gut",
    "worn frets up the neck at the 12th",
    "the G is flat at the third fret",
    "an original song of mine sounds sour on it",
    "no loose screws",
    "it is not fretless",
    "I raised the saddle last year",
    "it lay on its back under the bed all winter",
    "the strings are new",
    "the headstock is loose in its case",
]


@pytest.mark.parametrize("said", NOT_TOLD, ids=lambda each: each[:40])
def test_words_that_are_like_one_tell_no_circumstance(said: str) -> None:
    """Denied, of something else, or of a thing that is usual."""
    assert facts_in(said) == set()


@pytest.mark.parametrize("said", [said for said, _ in TOLD], ids=lambda each: each[:40])
def test_what_was_told_bars_every_cut(said: str) -> None:
    """With relief and frets answered and strings that stand far too high, nothing is filed."""
    calls = {call.call for call in make_plan(told(said), TRADE).strings}
    assert not calls & {CallKind.LOWER, CallKind.WIDEN}


@pytest.mark.parametrize("fact", FACTS, ids=lambda row: row.id)
def test_an_answer_that_contradicts_what_was_told_is_named_with_it(fact: ComplaintRow) -> None:
    """Neither is believed and nothing is cut; the same answer agrees with it, and none, or one
    that was left out, leaves what was told standing."""
    ((name, option),) = fact.known.items()
    rule = TRADE.rules.rule(name)
    good = next(one.id for one in rule.options if one.label and one.id != option)
    banjo = {"banjo", "own nut"} & set(rule.needs)
    kind = "5-string banjo" if banjo else "electric guitar"

    def gate(**answers: str) -> tuple[GateState, str, str]:
        made = job({"kind": kind}, complaint=fact.id, checks={"relief": "ok"} | answers)
        found = gate_named(evaluate_gates(made, TRADE), name)
        return found.state, found.reason, found.why

    state, reason, why = gate(**{name: good})
    if rule.option(good).settles:
        assert state is rule.option(good).state
    else:
        assert (state, reason) == (GateState.OPEN, "answers disagree")
        assert say(fact.title) in why and say(rule.option(good).label) in why
    stands = gate()
    assert stands[0] is rule.option(option).state
    assert gate(**{name: option}) == gate(**{name: "skipped"}) == stands


def test_an_owner_who_agrees_contradicts_nothing() -> None:
    """Old and dear, and the owner has agreed to cutting: then it may be cut."""
    calls = {
        call.call for call in make_plan(told("an heirloom", valuable="consent"), TRADE).strings
    }
    assert calls == {CallKind.LOWER}


def test_a_fact_is_no_fault_that_causes_are_weighed_by() -> None:
    """The order of questions is as if only the complaint had been made."""
    plain = [gate.gate for gate in evaluate_gates(told("stiff near the nut"), TRADE)]
    dear = [gate.gate for gate in evaluate_gates(told("stiff near the nut, an heirloom"), TRADE)]
    assert set(plain) <= set(dear)
