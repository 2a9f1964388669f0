"""Figures of the instrument that are typed: its scales, a gauge, its nut's width; and what a change
of it makes of what was read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from logic.app.presenters.walk import string_named
from logic.app.session.open_job import OpenedJob
from logic.app.views.views import Choice, TypeView
from logic.app.wording.wording import Wording
from logic.bench.instrument.boards import with_frets, with_next_listed
from logic.bench.instrument.entered import with_bass_scale, with_gauge, with_nut_width, with_scale
from logic.bench.instrument.string_places import with_own_scale
from logic.bench.plan.walk import walk_order
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument, StringSpec
from shared.units import Unit
from shared.words import listed, mark, say, say_many

SCALE, BASS_SCALE, GAUGE, NUT_WIDTH = "scale", "scale bass", "gauge", "nut width"
FRETS, FRET_PITCH, OWN_SCALE = "frets", "fret pitch", "own scale"
"""What the number pad is asked for, to type a figure of the instrument."""
BOARD_FIGURES = (FRETS, FRET_PITCH)


@dataclass(frozen=True)
class _Figure:
    """One figure: what is asked, in which units it is measured, and the pads beside it."""

    ask: str
    units: tuple[Unit, ...]
    ways: tuple[str, ...] = ()
    unit_name: str = ""
    """What is counted, where it is no length."""
    of_string: bool = False


_LONG, _SCALES = (Unit.MM, Unit.INCH), (SCALE, BASS_SCALE)
_FIGURES = {
    SCALE: _Figure(mark("How long is the scale?"), _LONG, _SCALES),
    BASS_SCALE: _Figure(
        mark("How long is the lowest string's scale? The same as the first's: not fanned."),
        _LONG,
        _SCALES,
    ),
    GAUGE: _Figure(
        mark("How thick is the string?"), (Unit.THOU, Unit.INCH, Unit.MM), of_string=True
    ),
    NUT_WIDTH: _Figure(mark("How wide is the nut, over all?"), _LONG),
    FRETS: _Figure(mark("How many frets does the board have?"), (), unit_name=mark("frets")),
    FRET_PITCH: _Figure(
        mark("Fret {fret}: how many semitones above the open string?"),
        (),
        unit_name=mark("semitones"),
    ),
    OWN_SCALE: _Figure(
        mark("How long is this string's own scale, from the nut to the saddle?"),
        _LONG,
        of_string=True,
    ),
}
_WAYS = {
    SCALE: mark("All strings, or string 1"),
    BASS_SCALE: mark("Fanned: the lowest"),
}


def is_figure(kind: str) -> bool:
    """Whether the number pad asked for this types a figure of the instrument."""
    return kind in _FIGURES


def figure_pad(
    kind: str,
    string: int | None,
    instrument: Instrument,
    title: str,
    wording: Wording,
    refused: str,
    listed: int = 0,
) -> TypeView:
    """The number pad for a figure of the instrument; `listed` is how many frets were typed."""
    figure = _FIGURES[kind]
    of_string = figure.of_string and string is not None
    usual = wording.unit if wording.unit in figure.units else Unit.INCH
    return TypeView(
        job="",
        title=string_named(instrument.name_of(string)) if of_string and string else title,
        ask=say(figure.ask, fret=listed + 1),
        ways=tuple(Choice(each, say(_WAYS[each]), chosen=each == kind) for each in figure.ways),
        units=tuple(Choice(u.value, u.value, chosen=u is usual) for u in figure.units),
        unit_name=figure.unit_name,
        fractions=bool(figure.unit_name),
        trouble=refused,
    )


def with_typed(
    kind: str,
    string: int,
    text: str,
    instrument: Instrument,
    trade: TradeTables,
    listed: int = 0,
) -> Instrument:
    """The instrument with the figure that was typed; InputError where it can hardly be. `listed`
    is how many frets were typed before it, where it is the pitch of one."""
    if kind == GAUGE:
        return with_gauge(instrument, string, text, trade)
    if kind == OWN_SCALE:
        return with_own_scale(instrument, string, text, trade)
    if kind == FRETS:
        return with_frets(instrument, text)
    if kind == FRET_PITCH:
        return with_next_listed(instrument, listed, text)
    typed: dict[str, Callable[[Instrument, str, TradeTables], Instrument]] = {
        SCALE: with_scale,
        BASS_SCALE: with_bass_scale,
        NUT_WIDTH: with_nut_width,
    }
    return typed[kind](instrument, text, trade)


# --- what follows for what was read ---


def what_follows(work: OpenedJob, before: Instrument) -> str:
    """What a change of the instrument makes of this visit's readings; nothing where none is."""
    after = work.job.instrument
    if not work.job.readings or after == before:
        return ""
    other = [
        after.name_of(s) for s in walk_order(after) if _read(work, s) and _other(before, after, s)
    ]
    if other:
        return say_many(
            "String {names} was read as it was listed before. Was another string fitted, or the "
            "tuning changed, its reading is stale: say so below, and read it again.",
            "Strings {names} were read as they were listed before. Were others fitted, or the "
            "tuning changed, their readings are stale: say so below, and read them again.",
            len(other),
            names=listed(other),
        )
    if after.fretboard != before.fretboard:
        return say(
            "What was read over the first fret stands if that fret is where it was; gaps and cents "
            "at other frets are stale. Windows and targets follow the frets."
        )
    if _scales(after) != _scales(before):
        return say("What was read stands; windows and targets follow the new scale.")
    return say("What was read stands.")


def _scales(instrument: Instrument) -> tuple[object, ...]:
    own = tuple(spec.scale for spec in instrument.strings)
    return instrument.scale, instrument.scale_bass, own


def _read(work: OpenedJob, string: int) -> bool:
    return any(reading.string == string for reading in work.job.readings)


def _other(before: Instrument, after: Instrument, string: int) -> bool:
    """Whether what was listed of a string would be another string, or another pull."""
    was = {spec.string: _pull(spec) for spec in before.strings}
    return string in was and was[string] != _pull(after.spec(string))


def _pull(spec: StringSpec) -> tuple[object, ...]:
    return spec.pitch.midi, spec.gauge, spec.make
