"""Cutting as one job sees it: a string's cut from the job's own records, and what to say now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from logic.bench.cutting.cutting import (
    CutMove,
    CutSetting,
    CutState,
    CutStep,
    next_move,
    replay,
    slot_seen,
)
from logic.bench.cutting.files import FileChoice, choose_file
from logic.bench.cutting.good_enough import sinks_below, stands_above
from logic.bench.cutting.oddities import ODDITY_QUESTIONS
from logic.bench.cutting.removal import Pair, SlotSeen, learn, prior_for
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.measuring.grid import CLEARANCE, Posterior
from logic.bench.measuring.posterior import kind_prior
from logic.bench.setup.carried import carried_over
from logic.bench.setup.gate import cuts_wait
from logic.bench.setup.segments import RecordsBetween, moved_on, segments
from logic.bench.setup.sensitivity import STILL
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.attack import BuzzObservation
from logic.bench.window.string_window import windows
from shared.amounts import computed
from shared.job import Interval, Job, Pass, Round
from shared.marked import AsMarked, laid_together
from shared.readings import Reading
from shared.words import say, say_many


@dataclass(frozen=True)
class SlotCut:
    """One string's cut: where it stands and what is next."""

    setting: CutSetting
    cut: CutState
    move: CutMove
    file: FileChoice
    pair: Pair
    worn: bool = False
    """The file is marked worn in this kit."""

    @property
    def clearance_mm(self) -> Interval:
        """The estimate now and its 95 % interval."""
        believed = self.cut.clearance
        low, high = believed.interval()
        return Interval(estimate=believed.median, low=low, high=high)

    @property
    def to_be_proved(self) -> bool:
        """Whether the ear is to speak next: it is finished, or stopped where it may stay. Never of
        a string that stands outside its window."""
        believed, window = self.cut.clearance, self.setting.window
        if self.move.waits:
            return False
        stays = not (sinks_below(believed, window) or stands_above(believed, window))
        return self.move.step in (CutStep.DONE, CutStep.STOP) and stays

    @property
    def seen(self) -> SlotSeen:
        """What this slot says about file and material, for the bench's next cuts."""
        return slot_seen(self.cut, self.pair, self.setting)


def slot_cut(
    job: Job,
    string: int,
    trade: TradeTables,
    seen_before: Iterable[SlotSeen] = (),
    technician: str = "",
    heard_before: Iterable[BuzzObservation] = (),
) -> SlotCut:
    """The cut of one string, from the job's records.

    `seen_before` is what this bench's earlier passes say about its files; `heard_before` moves the
    window, as it does the plan's. KeyError when there is no such string.
    """
    spec = job.instrument.spec(string)
    file = choose_file(spec.gauge, job.kit.files, trade)
    pair = _pair(job, string, file, technician)
    setting = _setting(job, string, trade, pair, tuple(seen_before), tuple(heard_before))
    cut = _replayed_between_steps(job, string, setting, trade)
    worn = file.file in job.kit.worn_files
    move = next_move(cut, setting)
    if _new_to_the_slot(job, string, technician):
        move = replace(move, strokes=min(move.strokes, setting.cut.first_pass_strokes))
    if move.step is CutStep.FILE and cuts_wait(carried_over(job, trade), trade):
        move = CutMove(CutStep.STOP, waits=True)
    return SlotCut(setting, cut, move, file, pair, worn)


def _new_to_the_slot(job: Job, string: int, technician: str) -> bool:
    """Whether another hand than this one made the slot's last pass: it begins carefully, too."""
    passes = [made for made in job.passes if made.string == string]
    return bool(passes and technician) and passes[-1].technician != technician


def _replayed_between_steps(
    job: Job, string: int, setting: CutSetting, trade: TradeTables
) -> CutState:
    """The cut of a string; one that a step of the set-up has moved since it was read is read before
    anything more comes off."""
    start = wide = kind_prior(job.instrument.kind, trade)
    *earlier, last = segments(carried_over(job, trade), string, trade)
    if last.moved != STILL:
        earlier, last = [*earlier, last], RecordsBetween((), ())
    for segment in earlier:
        cut = replay(start, entries(segment.of(job), string), setting)
        allowed = trade.cutting.something_else_probability
        start = moved_on(cut.clearance, segment.moved, wide, allowed)
    return replay(start, entries(last.of(job), string), setting)


def entries(job: Job, string: int) -> tuple[Reading | Pass, ...]:
    """The readings and passes of one string in the order they were made."""
    readings = [reading for reading in job.readings if reading.string == string]
    made: list[Reading | Pass] = []
    taken = 0
    for filed in (filed for filed in job.passes if filed.string == string):
        made += readings[taken : filed.after]
        taken = max(taken, filed.after)
        made.append(filed)
    return (*made, *readings[taken:])


def after_last_pass(
    job: Job, string: int, trade: TradeTables, start: Posterior
) -> Posterior | None:
    """What is believed of a filed string's clearance before it is read again; None where it was
    never filed. `start` is what was believed before anything was measured.

    Mostly what its readings and strokes lead to expect; the odd pass is allowed for, and so is
    that something else moved.
    """
    records = entries(job, string)
    last = max((i for i, each in enumerate(records) if isinstance(each, Pass)), default=None)
    if last is None:
        return None
    spec = job.instrument.spec(string)
    file = choose_file(spec.gauge, job.kit.files, trade)
    setting = _setting(job, string, trade, _pair(job, string, file, ""), ())
    cut = replay(start, records[: last + 1], setting)
    curves = (cut.clearance.mass, *(curve for _, curve in cut.odd))
    allowed = trade.cutting.something_else_probability
    mixed = [sum(cell) + allowed * wide for *cell, wide in zip(*curves, start.mass, strict=True)]
    whole = sum(mixed)
    return Posterior(CLEARANCE, tuple(mass / whole for mass in mixed))


def material_of(name: str) -> str:
    """A nut material as the learning keeps it: lower case, single spaces."""
    return " ".join(name.lower().split()) or "other"


def cut_lines(slot: SlotCut, trade: TradeTables) -> tuple[str, ...]:
    """What to do now, in short lines for the bench."""
    table = trade.cutting
    asked = (say(ODDITY_QUESTIONS[slot.move.odd]),) if slot.move.odd else ()
    if slot.move.step is CutStep.READ:
        clear = table.after_a_pass if slot.cut.passes and not slot.cut.touches else ()
        leaves = laid_together(slot.move.leaves)
        return (*map(say, clear), *asked, say("Slide in {leaves} and read.", leaves=leaves))
    if slot.move.step is CutStep.FILE:
        return (*asked, *map(say, table.preparation), _strokes_line(slot))
    if slot.move.step is CutStep.DONE:
        return (*asked, _done_line(slot))
    return (*asked, _stop_line(slot))


def _strokes_line(slot: SlotCut) -> str:
    file = slot.file.file
    tool = (
        say("the {size} file", size=AsMarked(file))
        if file
        else say("a file: {note}", note=slot.file.note)
    )
    now = _half_strokes(slot, tool) if slot.move.half else _light_strokes(slot, tool)
    return f"{now} {say('It is marked worn.')}" if slot.worn else now


def _light_strokes(slot: SlotCut, tool: str) -> str:
    return say_many(
        "Now one light stroke with {tool}, no more: never below {stop}.",
        "Now {count} light strokes with {tool}, no more: never below {stop}.",
        slot.move.strokes,
        tool=tool,
        stop=computed(slot.setting.stop_mm),
    )


def _half_strokes(slot: SlotCut, tool: str) -> str:
    return say_many(
        "Now one half stroke, at half the pressure, with {tool}, no more: never below {stop}.",
        "Now {count} half strokes, at half the pressure, with {tool}, no more: never below {stop}.",
        slot.move.strokes,
        tool=tool,
        stop=computed(slot.setting.stop_mm),
    )


def _done_line(slot: SlotCut) -> str:
    if slot.move.near:
        return say(
            "Good enough: what is left is less than a leaf can tell. Prove it: soft, normal, hard."
        )
    return say("Done: it stands on its target. Prove it: soft, normal, hard.")


def _stop_line(slot: SlotCut) -> str:
    if slot.move.waits:
        return say("Stop here: in this visit something else comes before the file. See the plan.")
    if slot.move.under:
        return say(
            "Stop: it stands under its window now. Take nothing more off; read it once more, and "
            "the plan says how it is raised."
        )
    if not slot.setting.leaves:
        return say("Stop: there is no leaf in this kit to read the next pass with.")
    over = slot.clearance_mm.estimate - slot.setting.window.target_mm
    return say(
        "Stop here, about {over} over the target: half a stroke more could take it too low "
        "({percent:.0f} %). Let it play in.",
        over=computed(max(over, 0.0)),
        percent=100 * slot.move.chance_past,
    )


def _pair(job: Job, string: int, file: FileChoice, technician: str) -> Pair:
    """The file last used in this slot, else the one that would be chosen, in the hand that files
    there. A slot that several hands filed speaks of none of them."""
    used = [made for made in job.passes if made.string == string and made.file]
    last = used[-1].file if used else file.file
    hands = {made.technician for made in used} | ({technician} if technician else set())
    who = hands.pop() if len(hands) == 1 else ""
    width = last.mm if last else job.instrument.spec(string).gauge.mm
    return Pair(round(width, 4), material_of(job.instrument.nut.material), who)


def _setting(
    job: Job,
    string: int,
    trade: TradeTables,
    pair: Pair,
    seen_before: tuple[SlotSeen, ...],
    heard_before: tuple[BuzzObservation, ...] = (),
) -> CutSetting:
    prior = prior_for(pair.material, trade.cutting.removal)
    return CutSetting(
        string=string,
        window=windows(job.instrument, job.player, trade, heard_before)[string],
        leaves=job.kit.leaves,
        rate=learn(seen_before, pair, prior),
        pair_known=any(seen.pair == pair for seen in seen_before),
        sd_log_pass=prior.sd_log_pass,
        reading=trade.reading,
        call=trade.call,
        cut=trade.cutting,
        geometry=string_geometry(job.instrument, string, trade),
    )


def seen_in(job: Job, trade: TradeTables, technician: str = "") -> tuple[SlotSeen, ...]:
    """What the passes of one finished job say about files: one entry for every filed slot, and for
    one that was filed anew after other work another.

    Each slot is judged from the wide prior alone, so that the order of jobs does not matter.
    """
    return tuple(
        slot_cut(each, string, trade, (), technician).seen
        for each in filed_by_round(job)
        for string in sorted({made.string for made in each.passes})
    )


def filed_by_round(job: Job) -> tuple[Job, ...]:
    """The job as it was before each piece of work, as far as its slots' cuts go; the last is the
    job as it is."""
    return (*(_before(job, each) for each in job.rounds), job)


def _before(job: Job, each: Round) -> Job:
    listed = each.instrument
    same = listed is not None and {s.string for s in listed.strings} == {
        s.string for s in job.instrument.strings
    }
    update: dict[str, Any] = {
        "readings": each.readings,
        "passes": each.passes,
        "proofs": each.proofs,
        "setup": each.setup,
    }
    return job.model_copy(update=update | ({"instrument": listed} if same else {}))
