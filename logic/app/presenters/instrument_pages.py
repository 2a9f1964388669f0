"""The pages that change an instrument: its strings, its nut, and whose it is."""

from __future__ import annotations

from dataclasses import replace

from logic.app.presenters.corrections import hand_choices
from logic.app.presenters.home import kind_in_words, when
from logic.app.presenters.instruments import title_of
from logic.app.presenters.walk import string_named
from logic.app.session.open_job import OpenedJob
from logic.app.views.instrument_views import NameView, NutView, StringsView
from logic.app.views.pieces import Choice, StringMark
from logic.app.wording.calls import begun
from logic.app.wording.wording import Wording
from logic.bench.checks.odd_entries import OddTension
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.fret_names import fret_name
from logic.bench.instrument.restringing import is_on, is_tuned, nut_materials, offered
from logic.bench.instrument.string_places import CoursePairing, pairing_of
from logic.bench.plan.walk import walk_order
from logic.bench.tables.trade_tables import TradeTables
from logic.history.documents.models import InstrumentSummary
from logic.history.history import History
from shared.instrument import Instrument, Make, NutType
from shared.job import Job
from shared.marked import scale_as_said
from shared.units import Unit
from shared.words import listed, mark, say, say_many


def strings_view(
    name: str, instrument: Instrument, string: int | None, wording: Wording, trade: TradeTables
) -> StringsView:
    """Tuning, gauges and makes of one string or of all, and the sets that fit."""
    usual, order = offered(instrument, trade), walk_order(instrument)
    specs = [instrument.spec(s) for s in (order if string is None else (string,))]
    gauges = list(dict.fromkeys(wording.gauge(spec.gauge) for spec in specs))
    makes = {spec.make for spec in specs}
    return StringsView(
        instrument=name,
        title=title_of(instrument),
        string=string,
        marks=tuple(StringMark(s, instrument.short_name_of(s), here=s == string) for s in order),
        place=say("All strings") if string is None else string_named(instrument.name_of(string)),
        pitch=" ".join(spec.pitch.show() for spec in specs),
        gauge=gauges[0]
        if len(gauges) == 1
        else say("{low} to {high}", low=gauges[0], high=gauges[-1]),
        makes=tuple(
            Choice(make.value, begun(say(make.value)), chosen=makes == {make}) for make in Make
        ),
        sets=tuple(Choice(s.name, say(s.name), chosen=is_on(instrument, s)) for s in usual.sets),
        tunings=tuple(
            Choice(t.name, say(t.name), chosen=is_tuned(instrument, t)) for t in usual.tunings
        ),
        note=say(
            "Usual sets and tunings are common practice. Jobs that are open keep the strings "
            "they came in with."
        ),
        doubts=_doubts(instrument, [spec.string for spec in specs], trade),
        count=say_many("{count} string", "{count} strings", len(order)),
        pairings=_pairings(instrument, string),
        own_nut=_own_nut(instrument, string),
        own_scale="" if string is None else scale_of_string_in_words(instrument, string, wording),
        has_own_scale=string is not None and instrument.spec(string).scale is not None,
        hands=() if string is not None else hand_choices(instrument),
    )


_PAIRINGS = {
    CoursePairing.SINGLE: mark("Single"),
    CoursePairing.UNISON: mark("Unison pair"),
    CoursePairing.OCTAVE: mark("Octave pair"),
}


def _pairings(instrument: Instrument, string: int | None) -> tuple[Choice, ...]:
    """What a course can be; what all of those spoken of are is chosen."""
    spoken_of = walk_order(instrument) if string is None else (string,)
    here = {pairing_of(instrument, each) for each in spoken_of}
    return tuple(
        Choice(each.value, say(word), chosen=here == {each}) for each, word in _PAIRINGS.items()
    )


def _own_nut(instrument: Instrument, string: int | None) -> str:
    if string is None or not instrument.fretted:
        return ""
    fret = instrument.spec(string).from_fret
    if not fret:
        return say("none: on the common nut")
    return say("at fret {fret}", fret=fret_name(instrument.fretboard, fret))


def scale_of_string_in_words(instrument: Instrument, string: int, wording: Wording) -> str:
    """Its own scale, or that it has the instrument's."""
    own = instrument.spec(string).scale
    if own is None:
        return say("as the instrument")
    return scale_as_said(own, wording.unit, wording.decimal_mark)


MOST_DOUBTS = 2
"""So many strings are named; of more it is said how many."""


def _doubts(instrument: Instrument, strings: list[int], trade: TradeTables) -> tuple[str, ...]:
    """What to look at, of the strings at hand that as they are listed pull what none does."""
    odd = RuleContext(Job(instrument=instrument), trade).odd_tensions
    here = [string for string in strings if string in odd]
    lines = tuple(_doubt(instrument.name_of(s), odd[s]) for s in here[:MOST_DOUBTS])
    more = len(here) - MOST_DOUBTS
    if more <= 0:
        return lines
    return (*lines, say_many("and {count} string more", "and {count} strings more", more))


def _doubt(name: str, odd: OddTension) -> str:
    if odd.breaks:
        return say(
            "String {name} would break before it comes up to pitch: are gauge and pitch right?",
            name=name,
        )
    return say(
        "String {name} would pull {pulls} N, where {usual} N is usual: are gauge and pitch right?",
        name=name,
        **odd.in_newtons(),
    )


def nut_view(
    name: str, instrument: Instrument, trade: TradeTables, wording: Wording | None = None
) -> NutView:
    """How the nut holds its strings, what it is made of, and how wide it is."""
    nut = instrument.nut
    materials = dict.fromkeys((*nut_materials(trade), nut.material))
    return NutView(
        instrument=name,
        title=title_of(instrument),
        types=tuple(
            Choice(each.value, begun(say(each.value)), chosen=nut.type is each) for each in NutType
        ),
        materials=tuple(
            Choice(each, begun(say(each)), chosen=nut.material == each) for each in materials
        ),
        width=wide_in_words(instrument, wording or Wording()),
    )


def wide_in_words(instrument: Instrument, wording: Wording) -> str:
    """How wide the nut is, as it is measured: in millimetres, or in inches."""
    width = instrument.nut.width
    if width is None:
        return say("not measured")
    unit = Unit.MM if wording.unit is Unit.MM else Unit.INCH
    return width.show(unit, decimal_mark=wording.decimal_mark)


def name_view(
    name: str, instrument: Instrument, others: tuple[InstrumentSummary, ...] = ()
) -> NameView:
    """The label and the owner's tag, to be written; `others` are on record under the same tag."""
    owner = instrument.owner
    return NameView(
        name,
        title_of(instrument),
        instrument.label,
        owner,
        others=shared_in_words(owner, others),
        another=_another(owner, others) if others else "",
    )


MOST_NAMED = 3
"""So many of an owner's other instruments are named; of more it is said how many."""


def shared_in_words(owner: str, others: tuple[InstrumentSummary, ...]) -> str:
    """What else is on record of an owner of this name, so that two of one name are not taken for
    one; empty where there is nothing."""
    if not owner or not others:
        return ""
    named = [_other_in_words(one) for one in others[:MOST_NAMED]]
    more = len(others) - MOST_NAMED
    if more > 0:
        named.append(say_many("{count} more", "{count} more", more))
    return say("Also of {owner}: {what}.", owner=owner, what=listed(named))


def _other_in_words(one: InstrumentSummary) -> str:
    title = one.label or kind_in_words(one.kind)
    return say("{title}, last changed {day}", title=title, day=when(one.changed))


def _another(owner: str, others: tuple[InstrumentSummary, ...]) -> str:
    """A tag for another owner of the same name that no instrument has yet."""
    return f"{owner} ({len(others) + 1})"


def others_of(owner: str, name: str, history: History) -> tuple[InstrumentSummary, ...]:
    """The other instruments on record under exactly this owner's tag."""
    if not owner:
        return ()
    found, _ = history.find_instruments(owner, 0, MOST_LOOKED_AT)
    return tuple(one for one in found if one.owner == owner and one.id != name)


MOST_LOOKED_AT = 40
"""Instruments looked through for others of an owner."""


# --- the same pages within a visit ---


def strings_of_visit(page: StringsView, work: OpenedJob, said: str) -> StringsView:
    """What is changed of the strings in a visit, what it makes of what was read, and the way to say
    that others were fitted: what was read of them is then kept as before, and read again."""
    note = say("Usual sets and tunings are common practice. What is changed here stays with it.")
    return replace(page, note=note, said=said, can_be_fitted=bool(work.job.readings))


def name_of_visit(page: NameView, work: OpenedJob) -> NameView:
    """With the ticket that this visit was booked under."""
    return replace(page, ticket=work.job.ticket)
