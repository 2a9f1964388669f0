"""How relief and action are measured at a job, and all that was: each entry with what can be done
about it."""

from __future__ import annotations

from logic.app.presenters.gap_words import POSTURES
from logic.app.presenters.gaps import relief_value
from logic.app.presenters.string_card import card_entry, is_of_neck, newest_first, putting_right
from logic.app.session.gap_manner import GapManner, edge_now, line_now, posture_now
from logic.app.session.open_job import OpenedJob
from logic.app.session.places import Place
from logic.app.views.gap_views import MeasuredView
from logic.app.views.pieces import Choice, FactRow
from logic.app.wording.calls import begun
from logic.history.history import History
from shared.measurements import Posture
from shared.words import say


def measured_view(
    work: OpenedJob,
    history: History,
    manner: GapManner,
    place: Place,
    correcting: str,
    saved: str,
) -> MeasuredView:
    """What is held and how it lies, then what was measured, newest first."""
    document = work.document
    standing = (taken.event for taken in document.measurements)
    found = newest_first(document, history, standing, is_of_neck)
    relief = place.back_to == "relief"
    return MeasuredView(
        job=work.id,
        title=say("How relief is measured") if relief else say("How action is measured"),
        string=place.string,
        relief=relief,
        holds=_holds(work, manner, place.string) if relief else (),
        lines=_lines(work, manner) if relief else (),
        frets=() if relief else _frets(work, manner),
        postures=_postures(posture_now(manner, work.job)),
        entries=tuple(card_entry(each, work, history) for each in found),
        putting_right=putting_right(correcting, history, work),
        said=saved,
        closed=""
        if document.open
        else say("This job is closed. Whatever is changed here opens it again."),
    )


def _holds(work: OpenedJob, manner: GapManner, string: int | None) -> tuple[FactRow, ...]:
    value = relief_value(work, string)
    line = line_now(manner, value, work.job.instrument) if value is not None else None
    if line is None:
        return ()
    return (
        FactRow("low", say("Held at fret"), str(line.low)),
        FactRow("high", say("and at fret"), str(line.high)),
        FactRow("at", say("Leaf over fret"), str(line.at)),
    )


def _lines(work: OpenedJob, manner: GapManner) -> tuple[Choice, ...]:
    edge = edge_now(manner, work.job)
    return (
        Choice("string", say("String held down"), chosen=not edge),
        Choice("edge", say("Straight edge"), chosen=edge),
    )


def _frets(work: OpenedJob, manner: GapManner) -> tuple[Choice, ...]:
    """Over which fret action is measured: an octave up, or over the last, which shows a board that
    rises or falls away there."""
    octave, last = work.job.instrument.octave_fret, work.job.instrument.last_fret
    now = manner.fret or octave
    frets = dict.fromkeys((octave, last or _usual_last(work)))
    return tuple(
        Choice(str(fret), say("Over fret {fret}", fret=fret), chosen=fret == now) for fret in frets
    )


def _usual_last(work: OpenedJob) -> int:
    return work.trade.boards.of(work.job.instrument.kind).frets


def _postures(now: Posture) -> tuple[Choice, ...]:
    return tuple(
        Choice(posture.value, begun(say(words)), chosen=posture is now)
        for posture, words in POSTURES.items()
    )
