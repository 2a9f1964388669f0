"""The kinds of instrument and the intake: what came in, in words, and how it is put right."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands.start_commands import NewJob
from logic.app.presenters.corrections import corrected, is_answer
from logic.app.presenters.intake import facts_of, kinds_view, nut_in_words, scale_in_words
from logic.app.views import views
from logic.app.wording.wording import Wording
from logic.jobfiles.reading import kinds
from logic.languages import load_language
from logic.testing import TRADE, instrument
from shared.instrument import Attack, NutType
from shared.readings import Contact
from shared.units import Unit
from shared.words import FigureStyle, use
from tests.logic.app.apps import DiscApp, fresh_app, open_document, start, walking
from tests.logic.app.commands.test_commands import chosen

KINDS = kinds(TRADE)
FACTS = ("nut_type", "material", "board", "hand", "valuable")


def intake(app: DiscApp, kind: str = "electric guitar") -> views.IntakeView:
    """The intake of a job on this kind."""
    shown = start(app, kind)
    assert isinstance(shown, views.IntakeView)
    return shown


def rows(shown: views.IntakeView) -> dict[str, str]:
    """What stands in each line of the intake, by its name."""
    return {row.name: row.value for row in shown.facts}


def correction(shown: views.IntakeView, fact: str) -> views.Correction:
    """The line about one fact."""
    return next(each for each in shown.corrections if each.fact == fact)


def put_right(app: DiscApp, fact: str, value: str) -> views.IntakeView:
    """The intake after one fact was put right."""
    shown = app.do(do.SayDifferent(fact, value))
    assert isinstance(shown, views.IntakeView)
    return shown


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_offered_with_its_strings_and_scale(kind: str) -> None:
    """As many strings as its preset has, the scale in the unit at hand, none chosen."""
    choice = next(c for c in kinds_view(TRADE, Wording()).kinds if c.key == kind)
    count = len(instrument(kind).strings)
    assert choice.detail.startswith(f"{count} string")
    assert choice.detail.endswith(" in") and not choice.chosen
    assert choice.label[0].isupper() or choice.label[0].isdecimal()


def test_the_kinds_of_the_last_jobs_come_first() -> None:
    """Newest first and each once; the others follow in their usual order, none is lost. What was
    begun by mistake, with nothing read, and a kind that this app does not know move nothing."""
    app = fresh_app()
    for kind in ("mandola", "double bass", "mandola"):
        walking(app, kind)
        app.do(do.Feel(Contact.LIGHT))
    start(app, "charango")
    shown = app.do(NewJob())
    assert isinstance(shown, views.KindsView)
    first = ["mandola", "double bass"]
    keys = [choice.key for choice in shown.kinds]
    assert keys == [*first, *(kind for kind in KINDS if kind not in first)]
    told = kinds_view(TRADE, Wording(), ["harp", "mandola"]).kinds
    assert [choice.key for choice in told][:2] == ["mandola", KINDS[0]]


@pytest.mark.parametrize("kind", KINDS)
def test_the_intake_shows_every_string_of_the_preset(kind: str) -> None:
    """Pitches and gauges from the bass side, as many as there are strings."""
    facts = rows(intake(fresh_app(), kind))
    strings = sorted(instrument(kind).strings, key=lambda spec: -spec.string)
    assert facts["Strings"].split() == [spec.pitch.show() for spec in strings]
    assert len(facts["Gauges"].split()) == len(strings)


def test_an_electric_guitar_is_taken_in_as_its_preset_has_it() -> None:
    """Every fact and every choice of a first intake; what is usual is chosen."""
    shown = intake(fresh_app())
    assert (shown.job, shown.title, shown.targets) == ("name-1", "Electric guitar", "")
    assert shown.facts == (
        ("strings", "Strings", "E2 A2 D3 G3 B3 E4"),
        ("gauges", "Gauges", ".046 .036 .026 .017 .013 .010"),
        ("scale", "Scale", "25.5 in"),
        ("board", "Frets", "every semitone"),
        ("nut", "Nut", "slotted, bone"),
        ("relief", "Relief", "not measured"),
        ("name", "Whose", "not said yet"),
    )
    assert chosen(shown.attacks) == ["medium"] and chosen(shown.noticed.common) == []
    assert chosen(shown.time) == ["no hurry"]
    assert tuple(each.fact for each in shown.corrections) == FACTS
    assert [chosen(each.choices) for each in shown.corrections] == [
        *(["slotted"], ["bone"], ["frets"], ["right"], ["no"])
    ]
    assert shown.assumed.endswith("the usual ones of this kind, electric guitar.")


@pytest.mark.parametrize(
    ("unit", "scale", "gauges"),
    [
        (Unit.THOU, "25.5 in", ".046"),
        (Unit.INCH, "25.5 in", ".046"),
        (Unit.MM, "648 mm", ".046"),
    ],
)
def test_scale_and_gauges_are_said_as_the_trade_says_them(
    unit: Unit, scale: str, gauges: str
) -> None:
    """A scale in inches or whole millimetres, gauges of steel in decimals of an inch on every
    bench, as they are sold (common practice, no source)."""
    facts = dict(facts_of(instrument(), Wording(unit)))
    assert facts["Scale"] == scale and facts["Gauges"].startswith(gauges)
    assert scale_in_words(instrument(), Wording(unit)) == scale


def test_in_german_the_intake_is_in_german() -> None:
    """Names of facts, nut and kind; pitches stay pitches."""
    use(load_language("de"), FigureStyle(decimal_mark=","))
    facts = dict(facts_of(instrument(), Wording(Unit.THOU, ",")))
    assert facts["Stärken"].startswith(".046") and facts["Mensur"] == "25,5 in"
    assert nut_in_words(instrument()) == "Kerbsattel, Knochen"


@pytest.mark.parametrize("fact", FACTS)
def test_each_fact_can_be_put_right_to_each_of_its_values(fact: str) -> None:
    """Whatever is touched is the one chosen then, and the others of the intake stay."""
    app = fresh_app()
    shown = intake(app)
    for choice in correction(shown, fact).choices:
        after = put_right(app, fact, choice.key)
        assert chosen(correction(after, fact).choices) == [choice.key]
        others = [each for each in after.corrections if each.fact != fact]
        assert others == [each for each in shown.corrections if each.fact != fact]


@pytest.mark.parametrize(
    ("fact", "answers"),
    [("nut_type", True), ("board", True), ("valuable", True), ("hand", False), ("material", False)],
)
def test_only_what_a_rule_asks_for_is_an_answer(fact: str, answers: bool) -> None:
    """The hand and the material change what is drawn and filed, and answer no question."""
    assert is_answer(fact) is answers


def test_what_nobody_knows_cannot_be_put_right() -> None:
    """A fact of another name is no fact: KeyError, and the instrument is as it was."""
    with pytest.raises(KeyError):
        corrected(instrument(), "colour", "blue")


@pytest.mark.parametrize("nut", list(NutType))
def test_each_kind_of_nut_is_said_among_the_facts(nut: NutType) -> None:
    """Put right, the line of the nut names it."""
    app = fresh_app()
    intake(app)
    shown = put_right(app, "nut_type", nut.value)
    assert rows(shown)["Nut"] == f"{nut.value}, bone"
    assert open_document(app).as_job().checks["nut_type"] == nut.value


def test_a_material_that_the_table_does_not_have_is_offered_where_it_is_on_record() -> None:
    """What an instrument came in with stays among its choices."""
    app = fresh_app()
    intake(app)
    shown = put_right(app, "material", "walrus")
    assert chosen(correction(shown, "material").choices) == ["walrus"]
    assert "walrus" in rows(shown)["Nut"]


@pytest.mark.parametrize("attack", list(Attack))
def test_how_hard_it_is_played_is_one_choice(attack: Attack) -> None:
    """The one that is said last is the one chosen."""
    app = fresh_app()
    intake(app)
    shown = app.do(do.SetAttack(attack))
    assert isinstance(shown, views.IntakeView) and chosen(shown.attacks) == [attack.value]


def test_undo_on_the_intake_takes_back_what_was_put_right_last() -> None:
    """Nut, then hand: two undos, in that order, bring the preset back."""
    app = fresh_app()
    before = intake(app)
    put_right(app, "nut_type", "roller")
    put_right(app, "hand", "left")
    once = app.do(do.Undo())
    assert isinstance(once, views.IntakeView)
    assert chosen(correction(once, "hand").choices) == ["right"]
    assert chosen(correction(once, "nut_type").choices) == ["roller"]
    assert app.do(do.Undo()) == before
