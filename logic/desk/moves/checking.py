"""The quick check, of one instrument or of a rack of them."""

from __future__ import annotations

from logic.bench.quick_check import QUICK_CHECK
from logic.bench.walk import walk_order
from logic.desk import instrument_commands as commands
from logic.desk.checking import leaf_of, to_check
from logic.desk.floor import Floor, Move
from logic.desk.instruments import Shelf
from logic.desk.moves.instruments import opening
from logic.desk.places import Place
from logic.desk.rack import Rack, kept_rack, rack_event
from logic.desk.saying import reading_in_words, saved_in_words
from shared.events import Kind
from shared.job import Reading
from shared.units import Length


def quick_check(floor: Floor, command: commands.QuickCheck) -> None:
    """Check one instrument, by itself."""
    if not _begin(floor, command.instrument, Rack()):
        floor.go(Place("instrument", instrument=command.instrument))


def check_rack(floor: Floor, _: commands.CheckRack) -> None:
    """Begin with the first of the chosen instruments."""
    chosen = floor.shelf.chosen
    if chosen:
        floor.shelf = Shelf()
        _go_on(floor, Rack(chosen))


def next_in_rack(floor: Floor, _: commands.NextInRack) -> None:
    """The next instrument of the rack; after the last, what was found."""
    _go_on(floor, kept_rack(floor.history))


def pass_over(floor: Floor, _: commands.PassOver) -> None:
    """Leave the next instrument out, and go on."""
    _go_on(floor, kept_rack(floor.history).moved_on(""))


def leave_rack(floor: Floor, _: commands.LeaveRack) -> None:
    """Done: the rack is empty again."""
    floor.keep(rack_event(floor.history, Rack()))
    floor.go(Place("instruments"))


def _go_on(floor: Floor, rack: Rack) -> None:
    """Check the first waiting instrument of which anything is on record."""
    while rack.waiting:
        if _begin(floor, rack.following, rack):
            return
        rack = rack.moved_on("")
    floor.keep(rack_event(floor.history, rack))
    floor.go(Place("rack"))


def _begin(floor: Floor, name: str, rack: Rack) -> bool:
    """Open a check as a job of its own; False where nothing is on record to check against."""
    found = floor.history.instrument(name)
    known = floor.past.known(name)
    order = [s for s in walk_order(found.value) if s in known] if found else []
    if not found or not order:
        return False
    job, first = floor.new_id(), Place("check", string=order[0])
    moved = (rack_event(floor.history, rack.moved_on(job)),) if rack.waiting else ()
    floor.keep(
        (Kind.JOB_OPENED, opening(floor, found, job, QUICK_CHECK)),
        (Kind.PLACE_MOVED, {"job": job, "place": first.kept}),
        *moved,
    )
    floor.place = Place("check", job, order[0])
    return True


def check_string(floor: Floor, command: commands.CheckString) -> None:
    """Check this string now, also once everything was said."""
    _reopen(floor)
    floor.go_in_job("check", command.string)


def skip_string(floor: Floor, _: commands.SkipString) -> None:
    """Leave this string without an answer."""
    go_on(floor)


def end_check(floor: Floor, _: commands.EndCheck) -> None:
    """Show what was found; the check is then closed, and stays on record."""
    reason = "quick check" if floor.work.job.readings else "nothing was checked"
    if floor.work.document.open:
        floor.record(Kind.JOB_CLOSED, reason=reason)
    floor.go_in_job("checked")


def leaves_to_check(floor: Floor) -> tuple[Length, ...]:
    """The leaf in the hand, by what the check asks for."""
    leaf = leaf_of(floor.work, floor.here)
    return (leaf,) if leaf else ()


def take_checked(floor: Floor, reading: Reading) -> None:
    """Keep an answer and go on to the next string."""
    _reopen(floor)
    floor.record(Kind.READING_TAKEN, reading=reading)
    name = floor.work.job.instrument.name_of(reading.string)
    floor.saved = saved_in_words(name, reading_in_words(reading, floor.wording))
    go_on(floor)


def go_on(floor: Floor) -> None:
    """To the next string further on that has no answer; after the last, what was found."""
    order = walk_order(floor.work.job.instrument)
    here = order.index(floor.here)
    left = to_check(floor.work)
    further = [string for string in left if order.index(string) > here]
    if further:
        floor.go_in_job("check", further[0])
    else:
        end_check(floor, commands.EndCheck())


def back_from_check(floor: Floor) -> None:
    """To the page of the instrument under check."""
    floor.go(Place("instrument", instrument=floor.work.document.instrument_id or ""))


def reopen_after_undo(floor: Floor) -> None:
    """An answer was taken back: the check goes on."""
    _reopen(floor)


def _reopen(floor: Floor) -> None:
    if not floor.work.document.open:
        floor.record(Kind.JOB_REOPENED)


MOVES: dict[type, Move] = {
    commands.QuickCheck: quick_check,
    commands.CheckRack: check_rack,
    commands.NextInRack: next_in_rack,
    commands.PassOver: pass_over,
    commands.LeaveRack: leave_rack,
    commands.CheckString: check_string,
    commands.SkipString: skip_string,
    commands.EndCheck: end_check,
}
