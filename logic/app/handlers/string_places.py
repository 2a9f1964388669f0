"""Strings that come and go at either side, in pairs, on a nut or a scale of their own."""

from __future__ import annotations

from collections.abc import Callable

from logic.app.commands import board_commands
from logic.app.commands import instrument_commands as commands
from logic.app.handlers.instrument_at_hand import instrument_here
from logic.app.handlers.instrument_pages import go_to_page, keep_change
from logic.app.presenters.instrument_pages import wide_in_words
from logic.app.session.session import Handler, Session
from logic.bench.checks.complaints import understood
from logic.bench.instrument.string_count import outermost, with_string_fewer, with_string_more
from logic.bench.instrument.string_places import (
    CoursePairing,
    paired,
    spaced_alike,
    with_own_nut,
    with_treble_string_fewer,
    with_treble_string_more,
    without_own_scale,
)
from logic.bench.plan.walk import walk_order
from shared.errors import InputError
from shared.instrument import MOST_STRINGS, Instrument
from shared.measurements import Side
from shared.words import say


def more_strings(session: Session, command: commands.MoreStrings) -> None:
    """One string more at a side, as it would be tuned and strung."""
    if command.side is Side.TREBLE:
        _renumber(session, lambda now: with_treble_string_more(now, session.trade))
        return
    now = instrument_here(session)
    more = with_string_more(now, session.trade)
    if more == now:
        session.transient.refused = _no_more(now)
    _keep_spaced(session, more)


def _no_more(now: Instrument) -> str:
    if len(now.strings) >= MOST_STRINGS:
        return say("No more than {most} strings can be entered.", most=MOST_STRINGS)
    return say("A string below the lowest would sound lower than any does.")


def fewer_strings(session: Session, command: commands.FewerStrings) -> None:
    """The outermost string of a side is taken away, unless something was read or done with it
    today."""
    if command.side is Side.TREBLE:
        _renumber(session, with_treble_string_fewer)
        return
    now = instrument_here(session)
    gone = outermost(now)
    if session.route.in_job and _was_worked_on(session, gone):
        session.transient.refused = say(
            "String {name} was read at this visit, so it stays. Take its readings back first.",
            name=now.name_of(gone),
        )
        return
    if session.place.string == gone:
        go_to_page(session, "strings")
    _keep_spaced(session, with_string_fewer(now))


def pair_string(session: Session, command: board_commands.PairString) -> None:
    """Let the course of the string at hand be single or a pair; of all strings, every course."""
    pairing, string = CoursePairing(command.pairing), session.place.string
    if string is not None:
        _renumber(session, lambda now: paired(now, string, pairing, session.trade))
        return
    _renumber(session, lambda now: _all_paired(session, now, pairing))


def _all_paired(session: Session, now: Instrument, pairing: CoursePairing) -> Instrument:
    """Every course so, from the bass side, so that those still to come keep their numbers."""
    for string in walk_order(now):
        if string in {spec.string for spec in now.strings}:
            now = paired(now, string, pairing, session.trade)
    return now


def step_own_nut(session: Session, command: board_commands.StepOwnNut) -> None:
    """Let the string at hand begin further up the board, or further down."""
    now, string = instrument_here(session), session.place.string
    if string is None:
        return
    fret = now.spec(string).from_fret + command.frets
    _change(session, lambda here: with_own_nut(here, string, max(fret, 0)))


def common_scale(session: Session, _: board_commands.CommonScale) -> None:
    """Let the string at hand have the instrument's scale."""
    string = session.place.string
    if string is not None:
        keep_change(session, without_own_scale(instrument_here(session), string))


def _renumber(session: Session, change: Callable[[Instrument], Instrument]) -> None:
    """Keep a change that gives strings other numbers, unless something is on record by those."""
    if _is_on_record_by_number(session):
        session.transient.refused = say(
            "Strings are numbered from the treble side, and something is on record of them by "
            "number. Strings can still come and go at the bass side."
        )
        return
    _change(session, change)


def _change(session: Session, change: Callable[[Instrument], Instrument]) -> None:
    """Keep a change; what can hardly be is said, and nothing is kept."""
    try:
        changed = change(instrument_here(session))
    except InputError as error:
        session.transient.refused = error.in_sentences()
        return
    _keep_spaced(session, changed)


def _keep_spaced(session: Session, changed: Instrument) -> None:
    """Keep the change with the strings as far apart as before, and say what that makes of the
    nut."""
    now = instrument_here(session)
    spaced = spaced_alike(now, changed, session.trade)
    if spaced.nut != now.nut:
        session.transient.follows = say(
            "The spacing of the strings is kept: the nut is taken to be {width} wide. Type its "
            "width if it differs.",
            width=wide_in_words(spaced, session.wording),
        )
    keep_change(session, spaced)


def _is_on_record_by_number(session: Session) -> bool:
    """Whether anything that was read, done, said or aimed at names a string by its number."""
    if not session.route.in_job:
        name = session.place.instrument
        return _was_begun(session, name) or bool(session.past.player(name).targets)
    work = session.work
    job = work.job
    answered = (*job.checks.values(), *job.looked_again.values())
    complained = any(heard.strings for heard in understood(job, session.trade).heard)
    by_string = complained or any(isinstance(answer, dict) for answer in answered)
    begun = work.document.begun or _was_begun(session, work.document.instrument_id or "")
    return begun or by_string or bool(job.player.targets) or bool(work.known)


def _was_begun(session: Session, instrument: str) -> bool:
    return any(visit.document.begun for visit in session.past.visits(instrument))


def _was_worked_on(session: Session, string: int) -> bool:
    job = session.work.job
    read, filed = (one.string for one in job.readings), (one.string for one in job.passes)
    proved = (one.string for one in job.proofs)
    touched = (each for one in job.rounds for each in one.work.strings)
    return string in {*read, *filed, *proved, *touched}


HANDLERS: dict[type, Handler] = {
    commands.MoreStrings: more_strings,
    commands.FewerStrings: fewer_strings,
    board_commands.PairString: pair_string,
    board_commands.StepOwnNut: step_own_nut,
    board_commands.CommonScale: common_scale,
}
