"""The kinds of instrument, and the intake."""

from __future__ import annotations

from logic.app.presenters.corrections import corrections, time_choices
from logic.app.presenters.home import kind_in_words
from logic.app.presenters.noticed import noticed_view
from logic.app.presenters.targets import own_in_words, wish_in_words
from logic.app.session.open_job import OpenedJob
from logic.app.views.views import (
    ATTACK_WORDS,
    Choice,
    IntakeView,
    KindsView,
)
from logic.app.wording.wording import Wording
from logic.bench.tables.trade_tables import TradeTables
from logic.jobfiles.reading import kinds, preset_instrument
from shared.instrument import Instrument
from shared.units import Unit
from shared.words import numeral, say, say_many


def kinds_view(trade: TradeTables, wording: Wording) -> KindsView:
    """Every kind that has a preset."""
    return KindsView(tuple(_kind_choice(kind, trade, wording) for kind in kinds(trade)))


def _kind_choice(kind: str, trade: TradeTables, wording: Wording) -> Choice:
    instrument = preset_instrument(kind, trade)
    count = len(instrument.strings)
    strings = say_many("{count} string", "{count} strings", count)
    return Choice(kind, kind_in_words(kind), f"{strings} · {scale_in_words(instrument, wording)}")


def scale_in_words(instrument: Instrument, wording: Wording) -> str:
    """The scale length as the trade says it."""
    if wording.unit is Unit.MM:
        return instrument.scale.show(Unit.MM, places=0)
    inches = round(float(instrument.scale.amount(Unit.INCH)), 2)
    return f"{numeral(inches, 'g')} {Unit.INCH}"


def intake_view(work: OpenedJob, wording: Wording, title: str) -> IntakeView:
    """The instrument as its preset has it, and what was said about it."""
    instrument = work.job.instrument
    return IntakeView(
        job=work.id,
        title=title,
        facts=facts_of(instrument, wording),
        attacks=tuple(
            Choice(attack.value, say(word), chosen=work.job.player.attack is attack)
            for attack, word in ATTACK_WORDS.items()
        ),
        noticed=noticed_view(work),
        assumed=work.figures_from,
        targets=" ".join(
            filter(
                None,
                (own_in_words(instrument, work.job.player, wording), wish_in_words(work.job)),
            )
        ),
        corrections=corrections(work),
        time=time_choices(work),
    )


def facts_of(instrument: Instrument, wording: Wording) -> tuple[tuple[str, str], ...]:
    """Strings, gauges, scale and nut, each with its name."""
    ordered = sorted(instrument.strings, key=lambda spec: -spec.string)
    return (
        (say("Strings"), " ".join(spec.pitch.show() for spec in ordered)),
        (say("Gauges"), " ".join(wording.gauge(spec.gauge) for spec in ordered)),
        (say("Scale"), scale_in_words(instrument, wording)),
        (say("Nut"), nut_in_words(instrument)),
    )


def nut_in_words(instrument: Instrument) -> str:
    """How the nut holds its strings, and what it is made of."""
    return f"{say(instrument.nut.type.value)}, {say(instrument.nut.material)}"
