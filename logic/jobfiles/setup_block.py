"""The `setup` block of a job file: what the visit measured and did, in the order of its numbers.

`order` numbers what was read and what was done. It is for the file alone: here it becomes the order
of the lists and the place of each step among them, `after` and `after_readings`. A bare
`setup.order`, as older drafts had it, is kept and means nothing.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from typing import Any

from logic.bench.instrument.boards import UNCOUNTED_REACH
from logic.jobfiles.filling import Tree, child, items, present
from logic.jobfiles.json_text import at
from shared.errors import JobFileError
from shared.instrument import Instrument
from shared.job import Job
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement
from shared.setup import Setup
from shared.words import mark, say

ORDER = "order"
_MEASURED, _DONE = "readings", "steps"
_PLACES = ("after", "after_readings")
"""Where a step stands: how much of the block's own list came before it, how much of the strings'.
"""
_ONLY_SOME = mark("number all of them, or none")


def in_order(parts: Tree, path: str = "") -> Tree:
    """`setup` and `readings` of `parts` in the order of their numbers, with nothing numbered any
    more; empty where there is no such block. JobFileError where the numbers leave the order open.
    """
    if parts.get("setup") is None:
        return {}
    block = child(parts, "setup", path)
    inside = at(path, "setup")
    measured = [present(each) for each in items(block, _MEASURED, inside)]
    done = [present(each) for each in items(block, _DONE, inside)]
    read = [present(each) for each in items(parts, "readings", path)]
    places = (at(inside, _MEASURED), at(inside, _DONE), at(path, "readings"))
    for where, listed in zip(places, (measured, done, read), strict=True):
        _refuse_half_numbered(listed, where)
    _refuse_twice(zip(places, (measured, done, read), strict=True))
    steps = [
        _placed(step, at(places[1], n), measured, read, places)
        for n, step in sorted(enumerate(done), key=lambda pair: pair[1].get(ORDER, 0))
    ]
    _refuse_out_of_order(steps, places[1])
    _refuse_what_is_elsewhere(measured, places[0])
    ordered = {_MEASURED: _sorted(measured), _DONE: steps}
    return {"setup": present(block) | ordered, "readings": _sorted(read)}


def check_setup(setup: Setup | None, job: Job, path: str) -> None:
    """JobFileError where what was measured cannot have been measured on this instrument."""
    if setup is None:
        return
    for n, measurement in enumerate(setup.readings):
        _check_frets(measurement, job.instrument, at(at(path, _MEASURED), n))


# --- the order of a visit ---


def _refuse_half_numbered(listed: list[Tree], path: str) -> None:
    for n, one in enumerate(listed):
        number = one.get(ORDER)
        if number is not None and (isinstance(number, bool) or not isinstance(number, int)):
            raise JobFileError(at(at(path, n), ORDER), number, say("write a whole number"))
    numbered = sum(ORDER in one for one in listed)
    if numbered not in (0, len(listed)):
        missing = next(n for n, one in enumerate(listed) if ORDER not in one)
        what = say("has no number in the order, and others of its list have")
        raise JobFileError(at(path, missing), "", say(_ONLY_SOME), what=what)


def _refuse_twice(lists: Iterable[tuple[str, list[Tree]]]) -> None:
    seen: dict[int, str] = {}
    for path, listed in lists:
        for n, one in enumerate(listed):
            number = one.get(ORDER)
            if number is None:
                continue
            if number in seen:
                what = say("has the number of {other}: {number}", other=seen[number], number=number)
                ask = say("give each reading and step a number of its own")
                raise JobFileError(at(at(path, n), ORDER), number, ask, what=what)
            seen[number] = at(path, n)


def _placed(
    step: Tree, path: str, measured: list[Tree], read: list[Tree], lists: tuple[str, str, str]
) -> Tree:
    """A step with its place among what was measured and read."""
    placed = {name: value for name, value in step.items() if name != ORDER}
    for place, listed, where in (("after", measured, lists[0]), ("after_readings", read, lists[2])):
        counted = _counted(step, listed, place, path)
        if counted is not None:
            _refuse_two_places(placed.get(place, counted), counted, at(path, place))
            placed[place] = counted
        elif type(placed.get(place)) is int and placed[place] > len(listed):
            counts = {"number": len(listed), "list": where}
            what = say("{list} lists {number}, and this comes after more", **counts)
            raise JobFileError(at(path, place), placed[place], say("count them again"), what=what)
    return placed


def _counted(step: Tree, listed: list[Tree], place: str, path: str) -> int | None:
    """How many of a list the numbers put before a step; None where they do not say. JobFileError
    where they leave it open: what is measured and what is done are numbered together, or neither
    is. Strings' readings may be without: all of them then count as read before the step."""
    numbered = bool(listed) and ORDER in listed[0]
    if numbered and ORDER in step:
        return len([each for each in listed if each[ORDER] < step[ORDER]])
    if place in step or not listed or (place != "after" and not numbered):
        return None
    if numbered == (ORDER in step):
        return None
    what = say("what was read is numbered and this step is not")
    if ORDER in step:
        what = say("this step is numbered and what was measured is not")
    ask = say('number both with "order", or write "{place}": how many came before it', place=place)
    raise JobFileError(path, "", ask, what=what)


def _refuse_two_places(given: Any, counted: int, path: str) -> None:
    if given != counted:
        what = say("by its number {counted} came before this step", counted=counted)
        raise JobFileError(
            path, given, say("write the number or this, or make them agree"), what=what
        )


def _refuse_out_of_order(steps: list[Tree], path: str) -> None:
    """JobFileError where a step came before the one listed before it."""
    for n, (one, then) in enumerate(itertools.pairwise(steps), 1):
        for place in _PLACES:
            before, after = one.get(place), then.get(place)
            if type(after) is not int or (before is not None and type(before) is not int):
                continue
            if before is None or before > after:
                what = say("comes before the step that is listed before it")
                ask = say("list the steps in the order in which they were done")
                raise JobFileError(at(at(path, n), place), after, ask, what=what)


def _sorted(listed: list[Tree]) -> list[Tree]:
    ordered = sorted(listed, key=lambda one: one.get(ORDER, 0))
    return [{name: value for name, value in one.items() if name != ORDER} for one in ordered]


# --- what stands in the wrong place or names what is not there ---


def _refuse_what_is_elsewhere(measured: list[Tree], path: str) -> None:
    for n, one in enumerate(measured):
        if one.get("quantity") == "cents":
            ask = say('write it in the job\'s own "readings": string, fret and cents')
            raise JobFileError(at(path, n), "", ask, what=say("cents are read of a string"))
        if one.get("quantity") == "action" and "gauge" in one:
            ask = say('write "shank" for the thickness that was held under the string')
            what = say("a gauge is a string's own thickness")
            raise JobFileError(at(at(path, n), "gauge"), one["gauge"], ask, what=what)


def _check_frets(measurement: Measurement, instrument: Instrument, path: str) -> None:
    """Holds count along the board, the fret of an action from the string's own nut."""
    if isinstance(measurement, ReliefMeasurement):
        for n, fret in enumerate(measurement.holds or ()):
            _refuse_no_fret(fret, instrument, at(at(path, "holds"), n))
    if isinstance(measurement, ActionMeasurement):
        fret = instrument.board_fret(measurement.string, measurement.fret)
        _refuse_no_fret(fret, instrument, at(path, "fret"))


def _refuse_no_fret(fret: int, instrument: Instrument, path: str) -> None:
    last = instrument.last_fret
    if last is None and fret > UNCOUNTED_REACH:
        what = say("nobody counted the frets of this board, and few have a fret {fret}", fret=fret)
        ask = say('write "frets" of the instrument, or name a fret that is there')
        raise JobFileError(path, fret, ask, what=what)
    if last is not None and fret > last:
        what = say("there is no fret {fret} on this board, which has {last}", fret=fret, last=last)
        raise JobFileError(path, fret, say("name a fret that is there"), what=what)
