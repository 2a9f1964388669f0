"""What people tell in their own words, English and German: which complaints, of which strings."""

from __future__ import annotations

from random import Random
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks.complaints import Understood, understood
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.presets import preset_instrument
from logic.bench.plan.plan import make_plan
from logic.testing import LOOKED_AT, SIX_STRINGS, TRADE, job, touches
from shared.job import Complaint, Job

ELECTRIC = "electric guitar"


def heard(text: str, kind: str = ELECTRIC) -> dict[str, tuple[int, ...]]:
    """The complaints of a telling, each with its strings."""
    job = Job(instrument=preset_instrument(kind, TRADE), complaint=text)
    return {one.row.id: one.strings for one in understood(job, TRADE).heard}


ENGLISH = [
    ("it buzzes on the G", {"buzz": (3,)}),
    ("There's this zingy rattle whenever I let the A string ring", {"buzz": (5,)}),
    ("Low E sizzles like a sitar when played open.", {"buzz open": (6,)}),
    ("the open d string has a nasty buzz to it", {"buzz open": (4,)}),
    ("buzzing, but only when I fret it", {"buzz fretted": ()}),
    ("Doesn't buzz open. Buzzes on frets one and two of the B string", {"buzz fretted": (2,)}),
    ("my first fret F is a nightmare, really stiff", {"stiff in first position": ()}),
    (
        "I have to squeeze like mad, it's so hard to push the strings down",
        {"stiff in first position": ()},
    ),
    ("My fingers are sore after ten minutes", {"stiff in first position": ()}),
    ("Playing a B minor down by the nut hurts", {"stiff in first position": ()}),
    ("The nut is too high I think", {"high action": ()}),
    ("action's sky high at the nut end", {"high action": ()}),
    (
        "open chords sound sour even though the tuner says all six are right",
        {"sharp low chords": ()},
    ),
    ("G string goes sharp on the first couple of frets", {"sharp low chords": (3,)}),
    ("Every cowboy chord is out of tune", {"sharp low chords": ()}),
    ("Barre chords are spot on, open chords are horrible", {"open chords alone": ()}),
    (
        "With a capo on it's perfectly in tune but without it the open chords sound sour",
        {"open chords alone": ()},
    ),
    ("plays sharper and sharper the higher up the neck I go", {"out of tune higher up": ()}),
    ("The intonation is off at the 12th fret", {"out of tune higher up": ()}),
    ("fretted notes come out flat", {"flat notes": ()}),
    ("Tuning it makes a creaking noise, then the pitch jumps", {"pings": ()}),
    ("third string sticks in the nut when I tune", {"pings": (3,)}),
    ("It just won't stay in tune", {"will not stay in tune": ()}),
    ("keeps going out of tune after every song", {"will not stay in tune": ()}),
    ("When I bend the G it comes back sharp", {"sharp after a bend": (3,)}),
    ("one dive with the bar and everything is flat", {"sharp after a bend": ()}),
    ("high e keeps popping out of its slot when I strum", {"jumps out": (1,)}),
    (
        "somebody filed the slots too deep and now the strings lie on the first fret",
        {"too low": (), "after work elsewhere": ()},
    ),
    ("There's a dead spot at the 5th fret on the G", {"dead note": (3,)}),
    ("One note on the D string just dies", {"dead note": (4,)}),
    ("the open B sounds dull and muffled next to the others", {"dull string": (2,)}),
    ("something's rattling inside the body", {"rattle inside": ()}),
    ("Rattle in the neck, maybe the truss rod", {"rattle inside": ()}),
    ("I went from nines to a heavier gauge and it pings", {"changed strings": (), "pings": ()}),
    ("tuned down a whole step, now it rattles", {"changed strings": (), "buzz": ()}),
    ("It's been in a cold attic all winter", {"after travel or weather": ()}),
    (
        "Since the central heating came on it buzzes open",
        {"after travel or weather": (), "buzz open": ()},
    ),
    (
        "got it back from the shop after a setup and now the low E buzzes",
        {"after work elsewhere": (), "buzz": (6,)},
    ),
    (
        "My mate fitted a new nut, since then it's hard to fret",
        {"after work elsewhere": (), "stiff in first position": ()},
    ),
    ("it fell off the stand", {"after a fall": ()}),
    ("took a knock at a gig and now something rattles", {"after a fall": (), "buzz": ()}),
    ("I'm a lefty and flipped the strings on it", {"other hand": ()}),
    ("restrung for a left-handed player", {"other hand": ()}),
    ("I use it for slide only", {"slide": ()}),
    ("The nut has a chip out of it", {"nut damaged": ()}),
    ("nut came loose and falls out when I change strings", {"nut damaged": ()}),
    ("just had new frets put in", {"fretwork": (), "after work elsewhere": ()}),
    ("The neck looks warped to me", {"neck bowed": ()}),
    ("needs a general setup please", {"check": ()}),
    ("just one string is weird, it buzzes", {"one string off": (), "buzz": ()}),
    ("I'd like a bone nut, needs a new nut anyway", {"new nut": ()}),
    ("the D and A strings rattle", {"buzz": (4, 5)}),
    ("E2 buzzes, E4 is fine", {"buzz": (6,)}),
    ("the G doesn't buzz any more but the B is sharp at fret 1", {"sharp low chords": (2,)}),
    (
        "All strings except the low E are stiff at the first fret",
        {"stiff in first position": (1, 2, 3, 4, 5)},
    ),
    ("the wound strings are dull", {"dull string": (4, 5, 6)}),
    ("frets out when I bend up high", {"buzz fretted": ()}),
]

GERMAN = [
    ("Die G-Saite schnarrt", {"buzz": (3,)}),
    ("Leersaiten scheppern ganz furchtbar", {"buzz open": ()}),
    ("die tiefe E-Saite klirrt leer gespielt", {"buzz open": (6,)}),
    ("Schnarrt nur gegriffen, leer nicht", {"buzz fretted": ()}),
    ("Es scheppert im ersten Bund auf der h-Saite", {"buzz fretted": (2,)}),
    (
        "Die Saiten lassen sich in der ersten Lage kaum runterdrücken",
        {"stiff in first position": ()},
    ),
    ("Mir tun nach kurzer Zeit die Finger weh", {"stiff in first position": ()}),
    ("F-Dur ist schwer zu greifen", {"stiff in first position": ()}),
    ("Saitenlage ist viel zu hoch", {"high action": ()}),
    ("der Sattel ist zu hoch", {"high action": ()}),
    ("Offene Akkorde klingen schief, obwohl gestimmt", {"sharp low chords": ()}),
    ("Die 3. Saite klingt im ersten Bund zu hoch", {"sharp low chords": (3,)}),
    ("Barrégriffe stimmen, offene Akkorde aber nicht", {"open chords alone": ()}),
    ("nicht bundrein", {"out of tune higher up": ()}),
    ("Beim Stimmen knackt es und springt dann", {"pings": ()}),
    ("die d-saite klemmt im sattel", {"pings": (4,)}),
    ("hält die Stimmung überhaupt nicht", {"will not stay in tune": ()}),
    ("Ich muss ständig nachstimmen", {"will not stay in tune": ()}),
    ("nach einem Bending ist die G-Saite verstimmt", {"sharp after a bend": (3,)}),
    ("Die hohe E-Saite springt aus der Kerbe", {"jumps out": (1,)}),
    ("Kerben zu tief gefeilt, die Saite liegt auf dem Bund auf", {"too low": ()}),
    ("ein Ton auf der D-Saite stirbt sofort ab", {"dead note": (4,)}),
    ("A-Saite klingt dumpf", {"dull string": (5,)}),
    ("Im Korpus klappert etwas Loses", {"rattle inside": ()}),
    ("Seit ich dickere Saiten drauf habe, schnarrt es", {"changed strings": (), "buzz": ()}),
    ("tiefer gestimmt auf D", {"changed strings": ()}),
    ("stand den Sommer über im feuchten Keller", {"after travel or weather": ()}),
    ("Kam vom Gitarrenbauer zurück und schnarrt seitdem", {"after work elsewhere": (), "buzz": ()}),
    ("ist mir umgefallen", {"after a fall": ()}),
    ("auf Linkshänder umgebaut", {"other hand": ()}),
    ("Vom Sattel ist eine Ecke abgeplatzt", {"nut damaged": ()}),
    (
        "Der Sattel ist mir beim Saitenwechsel rausgefallen",
        {"new strings": (), "nut damaged": ()},
    ),
    ("neue Bundstäbchen drin", {"fretwork": ()}),
    ("Hals ist krumm", {"neck bowed": ()}),
    ("einmal durchchecken bitte", {"check": ()}),
    ("schnarrt nicht mehr, drückt sich aber schwer", {"stiff in first position": ()}),
    ("Die umsponnenen Saiten schnarren, die blanken sind sauber", {"buzz": (4, 5, 6)}),
]


@pytest.mark.parametrize(("said", "meant"), [*ENGLISH, *GERMAN], ids=lambda each: str(each)[:40])
def test_what_people_say_is_understood(said: str, meant: dict[str, tuple[int, ...]]) -> None:
    """Each telling is just these complaints, each of just these strings."""
    assert heard(said) == meant


def test_what_a_telling_leaves_out_is_not_made_up() -> None:
    """What is denied, or said to be fine, is no complaint, and is not called foreign either."""
    for said in ("it does not buzz", "no buzz any more", "Nothing wrong.", "schnarrt nicht mehr"):
        job = Job(instrument=preset_instrument(ELECTRIC, TRADE), complaint=said)
        assert understood(job, TRADE) == Understood()


def test_each_sentence_that_means_nothing_here_is_named_back() -> None:
    """What is understood beside it counts all the same; a greeting or a date is no loss."""
    said = "Hello! The G buzzes. The strap button squeaks horribly loud on stage. Two weeks ago."
    job = Job(instrument=preset_instrument(ELECTRIC, TRADE), complaint=said)
    found = understood(job, TRADE)
    assert {one.row.id for one in found.heard} == {"buzz"}
    assert found.not_understood == ("The strap button squeaks horribly loud on stage.",)


@pytest.mark.parametrize(
    "said",
    [
        "I'm tired of this buzz",
        "painfully sharp at the first fret",
        "it is a pain to tune",
        "my ears hurt when it rattles",
        "the tuners are stiff",
        "die Mechaniken sind schwergängig",
        "sharp when I press hard",
        "the action is too high at the 12th fret",
        "high E buzzes",
        "no longer hard to press, but it buzzes",
        "not stiff at all",
        "low action, buzzes everywhere",
    ],
)
def test_what_is_no_complaint_of_height_is_not_heard_as_one(said: str) -> None:
    """A word that could mean it does not, where it is said of something else or denied."""
    made = Job(instrument=preset_instrument(ELECTRIC, TRADE), complaint=said)
    assert not any(RuleContext(made, TRADE).complained_of_height(string) for string in SIX_STRINGS)


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("I changed from 12s to 10s and everything rattles", {"changed strings", "buzz"}),
        ("on the G the sustain is gone", {"dead note"}),
        ("cannot press the low E at the first fret", {"stiff in first position"}),
        ("den F-Griff krieg ich nicht runter", {"stiff in first position"}),
        ("intonation at 12 is way sharp", {"out of tune higher up"}),
        ("you have to press really hard near the nut", {"stiff in first position"}),
        ("after levelling the frets the open strings buzz", {"buzz open", "fretwork"}),
        ("neither stiff nor sharp, it just buzzes", {"buzz"}),
        ("Kunde klagt über Schmerzen in der Greifhand", {"stiff in first position"}),
        ("Linkshändergitarre aus Rechtshänder gemacht", {"other hand"}),
        ("D-Saite leiser als die anderen", {"dull string"}),
        (
            "Gitarre stand am Heizkörper, jetzt schnarren alle Leersaiten",
            {"after travel or weather", "buzz open"},
        ),
        (
            "wurde beim Kollegen eingestellt, seitdem klingt F-Dur falsch",
            {"after work elsewhere", "sharp low chords"},
        ),
        ("kein Schnarren, aber bei Akkorden in der ersten Lage verstimmt", {"sharp low chords"}),
    ],
)
def test_more_that_people_say_is_understood(said: str, meant: set[str]) -> None:
    """Causes before, denials and several faults at once."""
    assert set(heard(said)) == meant


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("the strings are like cables, I can hardly hold an F", {"stiff in first position": ()}),
        ("they dig into my fingertips", {"stiff in first position": ()}),
        ("first finger is agony in first position", {"stiff in first position": ()}),
        ("too hard in the low chords", {"stiff in first position": ()}),
        ("da muss man ganz schön zupacken", {"stiff in first position": ()}),
        ("die Fingerkuppen brennen nach zwei Liedern", {"stiff in first position": ()}),
        ("it growls when I play it unfretted", {"buzz open": ()}),
        ("they jangle when nothing is fretted", {"buzz open": ()}),
        ("leer zirpen h und g, gegriffen nichts", {"buzz open": (2, 3)}),
        ("comes out about a quarter tone up at the first fret", {"sharp low chords": ()}),
        ("D-Dur klingt nie richtig", {"sharp low chords": ()}),
        ("Je weiter ich hochgehe, desto schiefer", {"out of tune higher up": ()}),
        ("die hohe E rutscht über den Rand", {"jumps out": (1,)}),
        ("keeps slipping off the nut", {"jumps out": ()}),
        ("nothing happens when I turn the peg and then it jumps", {"pings": ()}),
        ("am Wirbel passiert erst nix und dann ist der Ton da", {"pings": ()}),
        ("went up to a fatter set", {"changed strings": ()}),
        ("jetzt sind Zehner statt Neuner drauf, statt Neuner halt", {"changed strings": ()}),
        ("you could drive a train under the strings", {"high action": ()}),
        ("am neunten Bund passt ein Finger drunter", {"high up the neck": ()}),
        ("it came off its hook", {"after a fall": ()}),
        ("die Gitarre fiel vom Ständer", {"after a fall": ()}),
        ("klingt wie unter der Decke", {"dull string": ()}),
        ("die Saite liegt fast auf", {"too low": ()}),
        ("the neck has a hump", {"neck bowed": ()}),
        ("two notes are gone after a blink at the eighth fret", {"dead note": ()}),
        ("der Ton ist sofort weg", {"dead note": ()}),
        ("die Töne klingen oben nicht aus", {"dead note": ()}),
        ("the note at fret 5 cuts off at once", {"dead note": ()}),
        ("the new string sits on top of the groove", {"sits on the slot": (), "new strings": ()}),
        ("liegt nur oben auf der Kerbe auf", {"sits on the slot": ()}),
        ("the low E won't go down into its slot", {"sits on the slot": (6,)}),
        ("die tiefe E-Saite ist zu dick für die Kerbe", {"sits on the slot": (6,)}),
        (
            "Seit drinnen geheizt wird, schnarrt sie überall, und ich bleib mit der Hand hängen",
            {"after travel or weather": (), "buzz": ()},
        ),
    ],
    ids=lambda each: str(each)[:40],
)
def test_still_more_that_people_say_is_understood(
    said: str, meant: dict[str, tuple[int, ...]]
) -> None:
    """Pictures that people use, and what their hands and ears tell them."""
    assert heard(said) == meant


TELLINGS = [said for said, _ in (*ENGLISH, *GERMAN)]


@pytest.mark.parametrize("said", TELLINGS, ids=lambda each: each[:40])
def test_nothing_of_what_was_understood_is_named_back(said: str) -> None:
    """No word of these tellings is left that could mean something else."""
    made = Job(instrument=preset_instrument(ELECTRIC, TRADE), complaint=said)
    assert understood(made, TRADE).not_understood == ()


@pytest.mark.parametrize(
    ("said", "complaint", "lost"),
    [
        (
            "stiff at the first fret, he slid some celluloid beneath the thing",
            "stiff in first position",
            "slid celluloid beneath",
        ),
        (
            "it pings and the cabinet maker inlaid mother-of-pearl there",
            "pings",
            "cabinet maker inlaid pearl",
        ),
        (
            "schnarrt leer, mein Schwager hat mit Zahnseide experimentiert",
            "buzz open",
            "Schwager Zahnseide experimentiert",
        ),
    ],
)
def test_what_is_left_of_a_telling_that_was_understood_is_named_back(
    said: str, complaint: str, lost: str
) -> None:
    """Beside a complaint that was heard a longer row of words that mean nothing here may have told
    what bars a cut: it is named, and all it may have been about has to be answered."""
    made = job(complaint=said, checks=LOOKED_AT)
    context = RuleContext(made, TRADE)
    assert [one.row.id for one in context.complaints] == [complaint]
    assert context.understood.not_understood == (lost,)
    assert {"capo", "at_pitch", "shim", "valuable"} <= context.needed


@settings(deadline=None, max_examples=60)
@given(st.lists(st.sampled_from(TELLINGS), min_size=2, max_size=3, unique=True), st.randoms())
def test_however_it_is_told_in_turn_the_calls_are_the_same(told: list[str], turn: Random) -> None:
    """Complaints are a set: their order changes no gate and no call."""
    plans = []
    for _ in range(2):
        complaints = tuple(Complaint(what=said) for said in told)
        readings = touches("0.030 in", "none")
        made = job(readings=readings).model_copy(update={"complaints": complaints})
        plans.append(make_plan(made, TRADE).model_copy(update={"gates": ()}))
        turn.shuffle(told)
    assert plans[0] == plans[1]


@settings(deadline=None, max_examples=80)
@given(st.lists(st.one_of(st.sampled_from(TELLINGS), st.text(max_size=40)), max_size=12))
def test_any_words_are_safe(told: list[str]) -> None:
    """Any mixture of tellings and any signs at all is understood or named back, never a crash."""
    made = job().model_copy(update={"complaint": " ".join(told)})
    found = understood(made, TRADE)
    assert found.heard or found.not_understood or not made.complaint.strip() or told


@pytest.mark.parametrize(
    "words",
    ["the G buzzes, and ", "<b>G</b> ", "a ", "not ", "((((", "Ä", "strings are ", "in 10 10 10 "],
)
def test_long_tellings_are_read_quickly(words: str) -> None:
    """Four thousand characters take less than a second; three million are not read."""
    for length in (4000, 3_000_000):
        said = (words * (length // len(words) + 1))[:length]
        began = process_time()
        understood(job().model_copy(update={"complaint": said}), TRADE)
        assert process_time() - began < 1.0
