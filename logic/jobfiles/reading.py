"""Reads a job file: checks it, fills what is left out from the preset of its kind, says what it
assumed, and refuses with one clear line what it cannot use.

Strings are named by number ("6"), counted from the treble side of the nut, pairs included; in a
paired course also by course and place: "6 octave" and "6 main", "2 first" and "2 second". A bare
number is always a string's, never a course's. A list of strings is the whole list: what it leaves
out is not on the instrument; a field that a listed string leaves out comes from the preset's string
of the same number.

`board` lists the frets by their pitch above the open string, or counts those of a semitone board;
`frets` beside `scale` is short for that count. A board that is left out comes from the preset, as
far as it is counted.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial
from typing import Any

from logic.bench.instrument.misfits import misfits
from logic.bench.instrument.plausibility import read_length
from logic.bench.instrument.presets import kinds, preset_instrument, preset_kit
from logic.bench.measuring.kinds import kind_of
from logic.bench.plan.reportable import touched
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.tables.work import Touches
from logic.bench.telling.called import strings_called
from logic.jobfiles.filling import Filling, Tree, child, items, present
from logic.jobfiles.json_text import at, read_tree
from logic.jobfiles.refusals import validated
from logic.jobfiles.setup_block import check_setup, in_order
from shared.errors import JobFileError
from shared.instrument import Instrument, NutType
from shared.job import Assumed, Job
from shared.readings import Reading
from shared.setup import Setup
from shared.string_names import STRING_READER
from shared.units import LENGTH_READER, Length, LengthOf
from shared.words import mark, say
from shared.work import WorkKind

__all__ = ["kinds", "preset_instrument", "preset_kit", "read_job"]

FORMAT = "nutwright.job"
VERSION = 1
_STRING_NAME = re.compile(r"\s*[0-9]+(\s+[a-z]+)?\s*", re.IGNORECASE)


def read_job(text: str | bytes, trade: TradeTables) -> tuple[Job, tuple[Assumed, ...]]:
    """The job that `text` describes, and every value that it left out. JobFileError, one line
    naming the field, when it cannot be used."""
    tree = read_tree(text)
    _check_header(tree)
    filling = Filling(trade)
    parts: Tree = {
        "instrument": filling.instrument(child(tree, "instrument")),
        "player": filling.player(child(tree, "player")),
        "kit": filling.kit(child(tree, "kit")),
        "checks": _checks("checks", child(tree, "checks")),
        "looked_again": _checks("looked_again", child(tree, "looked_again")),
        "readings": items(tree, "readings"),
        "complaints": [present(one) for one in items(tree, "complaints")],
        "rounds": [present(one) for one in items(tree, "rounds")],
    }
    parts |= in_order(tree)
    job = _job_of(tree, parts, trade)
    _check_sense(job, trade)
    return job, tuple(filling.assumed)


def _job_of(tree: Tree, parts: Tree, trade: TradeTables) -> Job:
    """The job of `tree` with its filled `parts`: the instrument first, whose strings name what the
    rest of it speaks of."""
    lengths = {LENGTH_READER: partial(_read_length, parts["instrument"], trade)}
    body = {name: given for name, given in parts["instrument"].items() if name not in _BY_STRING}
    instrument = validated(Instrument, body, "instrument", lengths)
    _refuse_twins(instrument)
    named = _by_number(parts, instrument, trade)
    whole = tree | named | {"format": FORMAT, "version": VERSION}
    if whole.get("complaint") is None:
        whole["complaint"] = ""
    return validated(Job, whole, context=lengths | {STRING_READER: partial(_number, instrument)})


def _read_length(instrument: Tree, trade: TradeTables, meant: LengthOf, text: str) -> Length:
    """The length that `text` means on this instrument; LengthError for what can hardly be."""
    if meant is LengthOf.CLEARANCE and instrument["nut"].get("type") == NutType.TALL_SLIDE:
        meant = LengthOf.TALL_CLEARANCE
    return read_length(meant, text, trade, instrument["kind"])


def _check_header(tree: Tree) -> None:
    kind, version = tree.get("format", FORMAT), tree.get("version", VERSION)
    if kind != FORMAT:
        raise JobFileError("format", kind, say('a job file says "{format}"', format=FORMAT))
    if isinstance(version, int | float) and version > VERSION:
        written = mark("this job was written by a newer Nutwright (version {version:g})")
        ask = say("update this one to read it")
        raise JobFileError("version", version, ask, what=say(written, version=version))
    if version is True or version != VERSION:
        raise JobFileError("version", version, say("write {this}", this=VERSION))
    if "instrument" not in tree:
        ask = say('write at least {"kind": "electric guitar"} or another kind')
        raise JobFileError("instrument", "", ask, what=say("is missing"))


def _checks(part: str, given: Tree) -> Tree:
    """The answers that were given in this part of the job; a null is no answer."""
    answers = {}
    for gate, answer in given.items():
        if isinstance(answer, dict):
            for name, one in answer.items():
                _refuse_no_answer(one, at(at(part, gate), name))
            answers[gate] = {name: one for name, one in answer.items() if one is not None}
        elif answer is not None:
            _refuse_no_answer(answer, at(part, gate))
            answers[gate] = answer
    return answers


def _refuse_no_answer(answer: Any, path: str) -> None:
    if isinstance(answer, dict | list):
        ask = say("answer with words, a number, true or false")
        raise JobFileError(path, answer, ask)


def _by_number(parts: Tree, instrument: Instrument, trade: TradeTables) -> Tree:
    """`parts` with checks and readings about strings by number, whatever they were called."""
    answers = {part: _keyed_each(part, parts[part], instrument) for part in _ANSWERED}
    readings = _readings("readings", parts["readings"], instrument)
    rounds = [
        _round_by_number(one, instrument, f"rounds[{n}]", trade)
        for n, one in enumerate(parts["rounds"])
    ]
    complaints = [
        one | _strings_called(one, instrument, f"complaints[{n}]", trade)
        for n, one in enumerate(parts["complaints"])
    ]
    given = {name: getattr(instrument, name) for name in instrument.model_fields_set}
    listed = {
        field: child(parts["instrument"], field, "instrument")
        for field in _BY_STRING
        if field in parts["instrument"]
    }
    child(parts["player"], "targets", "player")
    return parts | {
        "instrument": given | listed,
        **answers,
        "readings": readings,
        "complaints": complaints,
        "rounds": rounds,
    }


_BY_STRING = ("action_12", "saddle")
"""Fields of the instrument that name its strings, so that these are read before them."""
_ANSWERED = ("checks", "looked_again")


def _readings(path: str, readings: list[Tree], instrument: Instrument) -> list[Tree]:
    """Readings by the number of their string."""
    return [
        one | {"string": _string_read(at(path, n), instrument, one)}
        for n, one in enumerate(readings)
    ]


def _round_by_number(one: Tree, instrument: Instrument, path: str, trade: TradeTables) -> Tree:
    """Work with the strings that it touched, and what was known before it, by number."""
    work = present(child(one, "work", path))
    if not work.get("strings"):
        work |= {"strings": _touched_by(work.get("what"), instrument, at(path, "work"), trade)}
    said = {part: _checks(at(path, part), child(one, part, path)) for part in _ANSWERED}
    answered = {part: _keyed_each(at(path, part), said[part], instrument) for part in _ANSWERED}
    one = one | in_order(one, path)
    readings = _readings(at(path, "readings"), items(one, "readings", path), instrument)
    return {**one, "work": work, **answered, "readings": readings}


def _touched_by(what: Any, instrument: Instrument, path: str, trade: TradeTables) -> list[int]:
    """The strings of work that names none: those that such work always touches. JobFileError where
    they have to be named; a kind that nobody knows is refused where it stands."""
    if what not in tuple(WorkKind):
        return [spec.string for spec in instrument.strings]
    if trade.work.row(WorkKind(what)).touches is Touches.SLOTS:
        ask = say("name a string: {names}", names=_names(instrument))
        raise JobFileError(at(path, "strings"), "", ask, what=say("is missing"))
    return list(touched(WorkKind(what), instrument, trade))


def _keyed_each(part: str, answers: Tree, instrument: Instrument) -> Tree:
    return {
        gate: _keyed(answer, instrument, at(part, gate)) if isinstance(answer, dict) else answer
        for gate, answer in answers.items()
    }


def _strings_called(one: Tree, instrument: Instrument, path: str, trade: TradeTables) -> Tree:
    """The strings of a complaint by number: named as in readings, or as people name them, such as
    "G" and "low E", which may be a pair."""
    given = one.get("strings")
    if not isinstance(given, list):
        return {}
    numbers: list[Any] = []
    for n, name in enumerate(given):
        called = strings_called(name, instrument, trade) if isinstance(name, str) else ()
        numbers += called or (_number_at(at(at(path, "strings"), n), instrument, name),)
    return {"strings": list(dict.fromkeys(numbers))}


def _refuse_twins(instrument: Instrument) -> None:
    seen: set[int] = set()
    for n, spec in enumerate(instrument.strings):
        if spec.string in seen:
            what = say("string {name} is listed twice", name=spec.string)
            ask = say("give each string its own number, 1 on the treble side")
            raise JobFileError(f"instrument.strings[{n}].string", "", ask, what=what)
        seen.add(spec.string)


def _keyed(answer: Tree, instrument: Instrument, path: str) -> Tree:
    """An answer by string, keyed by their numbers; a key that is no string's name is kept."""
    return {
        str(_number_at(at(path, key), instrument, key)) if _STRING_NAME.fullmatch(key) else key: one
        for key, one in answer.items()
    }


def _string_read(path: str, instrument: Instrument, reading: Tree) -> int:
    """The string that a reading is of. JobFileError where none is, with the place for what is
    measured of the whole instrument."""
    if "quantity" in reading and reading.get("string") is None:
        ask = say('write it under "setup": {"readings": […]}')
        what = say("is no reading of a string")
        raise JobFileError(path, "", ask, what=what)
    return _number_at(at(path, "string"), instrument, reading.get("string"))


def _number_at(path: str, instrument: Instrument, name: Any) -> int:
    try:
        return _number(instrument, name)
    except JobFileError as error:
        raise JobFileError(path, name, error.ask, what=error.what) from None


def _number(instrument: Instrument, name: Any) -> int:
    """The number of the string that is called `name`. JobFileError when none is."""
    if isinstance(name, bool) or not isinstance(name, int | str):
        what = say("is missing") if name is None else ""
        ask = say("name a string: {names}", names=_names(instrument))
        raise JobFileError("", name, ask, what=what)
    try:
        return instrument.number_of(name)
    except KeyError:
        what = say("there is no string {name} on this instrument", name=name)
        ask = say("name one of {known}", known=_names(instrument))
        raise JobFileError("", name, ask, what=what[:120]) from None


def _names(instrument: Instrument) -> str:
    return ", ".join(instrument.file_name_of(spec.string) for spec in instrument.strings)


def _check_sense(job: Job, trade: TradeTables) -> None:
    """Refuses figures that are each possible and together are not."""
    for misfit in misfits(job.instrument):
        numbers = [spec.string for spec in job.instrument.strings]
        path = f"instrument.strings[{numbers.index(misfit.string)}].{misfit.field}"
        raise JobFileError(path, "", misfit.ask, what=misfit.found)
    for n, spec in enumerate(job.instrument.strings):
        if spec.core and spec.core >= spec.gauge:
            ask = say("a core lies inside its winding: write the thinner of the two")
            sizes = {"core": str(spec.core), "gauge": str(spec.gauge)}
            what = say("{core} is no thinner than the string ({gauge})", **sizes)
            raise JobFileError(f"instrument.strings[{n}].core", "", ask, what=what)
    for path, taken in (("readings", job.readings), *_read_before(job)):
        for n, reading in enumerate(taken):
            _check_reading(reading, job.instrument, at(path, n), trade)
    for path, setup in (("setup", job.setup), *_measured_before(job)):
        check_setup(setup, job, path)
    if not job.kit.leaves and not job.readings:
        ask = say("list the leaves of your kit, or give readings as clearance, gap or cents")
        raise JobFileError("kit.leaves", "[]", ask, what=say("no leaves and no readings"))


def _read_before(job: Job) -> Iterator[tuple[str, tuple[Reading, ...]]]:
    """What was read before each piece of work, and where the file has it."""
    for n, done in enumerate(job.rounds):
        yield f"rounds[{n}].readings", done.readings


def _measured_before(job: Job) -> Iterator[tuple[str, Setup | None]]:
    """What was measured before each piece of work, and where the file has it."""
    for n, done in enumerate(job.rounds):
        yield f"rounds[{n}].setup", done.setup


def _check_reading(reading: Reading, instrument: Instrument, path: str, trade: TradeTables) -> None:
    doubt = kind_of(reading).doubt(reading, instrument, trade)
    if doubt is not None:
        raise JobFileError(at(path, doubt.field), "", doubt.ask, what=doubt.found)
