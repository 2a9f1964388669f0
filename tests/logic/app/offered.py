"""What can be touched on a screen: the commands that a view offers, read off as a screen does."""

from __future__ import annotations

from collections.abc import Iterator

from logic.app.commands import board_commands as bdo
from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import record_commands as kdo
from logic.app.commands import string_commands as sdo
from logic.app.commands import visit_commands as vdo
from logic.app.views import views
from logic.app.views.pieces import Choice
from logic.bench.what_if.dial import Dial
from mobile.screens.plan_next import command_of
from shared.instrument import Attack, Make, NutType
from shared.measurements import Posture, Side
from shared.readings import Buzz, Contact
from shared.setup import Scope
from shared.work import Work, WorkKind

NUMBERS = ("20 thou", "0.020 in", "0,5 mm", "18 mm", "640 mm", "-3", "abc", "12")
"""Typed on any number pad: lengths, a bare number, and what can hardly be meant."""
ANYWHERE: tuple[do.Command, ...] = (
    *(do.GoHome(), do.Back(), do.GoOn(), do.Undo(), do.SeeKit(), do.SeeSettings()),
    *(do.SeeRecords(), ido.SeeInstruments()),
)
IN_A_JOB: tuple[do.Command, ...] = (
    *(do.Ask(), do.AskMore(), do.Walk(), do.Walk(3), do.SeePlan(), do.SeePlan(2), do.WhatIf()),
    *(do.SeeRaising(), do.SeeNewNut(), do.SeeSheet(), do.SeeSheet(True), do.SeeTargets()),
    *(
        ido.SeeTakenIn(),
        do.SeeTargets(4),
        do.TypeNumber(),
        do.TypeNumber("held 2"),
        do.TypeNumber("cents 1"),
    ),
)
"""Reached from screens of a job by the keys and the bar at its foot."""


def offered(view: views.View) -> tuple[do.Command, ...]:
    """Every command that the screen of `view` offers, the ways around included."""
    return (*ANYWHERE, *_of_the_job(view), *_of_the_screen(view))


def _of_the_job(view: views.View) -> tuple[do.Command, ...]:
    in_a_job = isinstance(
        view,
        views.IntakeView
        | views.PreconditionsView
        | views.WalkView
        | views.CutView
        | views.PlanView
        | views.WhatIfView
        | views.RaisingView
        | views.NewNutView
        | views.HandOverView
        | views.StagesView,
    )
    return IN_A_JOB if in_a_job and not isinstance(view, views.CheckView) else ()


def _of_the_screen(view: views.View) -> Iterator[do.Command]:
    match view:
        case views.HomeView():
            yield from (do.NewJob(), do.StartSample(), ido.CheckOne())
            yield from (do.OpenJob(line.job) for line in view.jobs)
        case views.KindsView():
            yield from (do.StartJob(choice.key) for choice in view.kinds)
        case views.IntakeView():
            yield from _intake(view)
        case views.PreconditionsView():
            yield from (do.AnswerAllYes(), do.SkipGates())
            yield from (a for card in view.questions for a in _answers(card))
        case views.QuestionView():
            yield from _answers(view.question)
            yield from (do.PointAt(mark.string) for mark in view.strings)
            yield from (do.SkipRest(), do.PointAt(None))
            yield from (do.MeasureAgain(view.question.gate), do.LeaveFinding())
            if view.typed:
                yield do.TypeNumber(f"question {view.question.gate}")
        case views.TypeView():
            yield from map(do.NumberTyped, NUMBERS)
            yield from (do.NumberTyped(NUMBERS[0], each.key) for each in view.presses)
            yield from (do.TypeNumber(each.key) for each in (*view.ways, *view.frets))
        case views.CheckView():
            yield from (ido.SkipString(), ido.EndCheck(), do.TypeNumber())
            yield from (do.Feel(contact) for contact in Contact)
            yield from (ido.CheckString(mark.string) for mark in view.marks)
        case views.WalkView():
            yield from (do.Feel(contact) for contact in Contact)
            yield from (do.Hear(buzz) for buzz in (Buzz.NONE, Buzz.HARD, Buzz.NORMAL, Buzz.SOFT))
            yield from (do.Walk(mark.string) for mark in view.marks)
        case views.CutView():
            yield from (do.Filed(strokes) for strokes in (0, 1, 4, 10_000))
            yield from (do.Filed(strokes, half=True) for strokes in (0, 1, 4))
            yield from (do.Feel(contact) for contact in Contact)
            yield do.Prove(view.string)
        case views.PlanView():
            yield from _of_the_plan(view)
        case views.WhatIfView():
            yield from (do.Turn(Dial(dial.key), step) for dial in view.dials for step in (-1, 1))
            yield from (do.WhatIf(mark.string) for mark in view.marks)
            yield do.ForgetWhatIf()
        case views.RaisingView():
            yield from (do.SeeRaising(column.method) for column in view.ways)
            yield from (do.NoteMinutes(column.method, view.more) for column in view.ways)
            yield from (do.TurnAmount(column.method, 1) for column in view.ways)
            yield from _reports(view.work)
        case views.NewNutView():
            yield from (do.SetSpacing(choice.key) for choice in view.spacings)
            yield from (do.TurnMargin(line.key, step) for line in view.margins for step in (-1, 1))
            yield from _reports(view.work)
        case views.HandOverView():
            yield from (do.Prove(int(choice.key)) for choice in view.to_prove)
            yield from (do.CloseJob(reason) for reason in view.excuses)
        case _:
            yield from _of_the_visit(view)
            yield from _of_the_bench(view)


def _of_the_visit(view: views.View) -> Iterator[do.Command]:
    match view:
        case views.ReliefView() | views.ActionView():
            yield from _of_the_neck(view)
        case views.MeasuredView():
            yield from _of_the_measured(view)
        case views.VisitView():
            yield from (vdo.ChooseScope(Scope(choice.key)) for choice in view.scopes)
        case views.PlayerView():
            yield from (vdo.SavePlayer(), vdo.SavePlayer("low  action", "its nut", "Friday", True))
        case views.LookView():
            yield from (vdo.AllAsItShould(), vdo.SkipLook())
            yield from (a for card in view.questions for a in _answers(card))
        case views.StagesView():
            yield from (vdo.GoOnVisit(), vdo.SeeVisit(), vdo.SeeStepDone(), vdo.Rested())
            yield from (vdo.OpenPart(line.part) for line in view.lines)
            yield from (vdo.SkipPart(line.part) for line in view.lines if line.can_skip)
            yield from (vdo.SkipPart(line.part, sure=True) for line in view.lines if line.sure)
            yield from (vdo.ReopenPart(line.part) for line in view.lines if line.can_reopen)
        case views.StepDoneView():
            yield from (vdo.SeeStepDone(what) for what in ("turn", "saddle", "strings"))
            yield from (vdo.Rested(), vdo.KeepStrings(), vdo.TurnedRod(), vdo.MovedSaddle())
            yield from (vdo.CountEighths(-1), vdo.CountEighths(1), vdo.MoveSaddle(-1))
            yield from (vdo.StringsDone("changed"), vdo.StringsDone("retuned"))
            yield from (vdo.SaddleAt(mark.string) for mark in view.marks)
        case views.InTuneView():
            yield from (vdo.InTune(), vdo.SeeStages())


def _of_the_neck(view: views.ReliefView | views.ActionView) -> Iterator[do.Command]:
    relief = isinstance(view, views.ReliefView)
    yield from (do.Feel(contact) for contact in Contact)
    yield from (do.SeeMeasured(), do.LeaveRest(), sdo.LackLeaf(), sdo.NextString())
    yield from (sdo.ReadAfresh(view.string), do.AsPredicted())
    yield do.TypeNumber("relief of a side" if relief else "action of a string")
    to_string = do.MeasureRelief if relief else do.MeasureAction
    yield from (to_string(mark.string) for mark in view.marks)


def _of_the_measured(view: views.MeasuredView) -> Iterator[do.Command]:
    yield from (do.SetPosture(Posture(choice.key)) for choice in view.postures)
    yield from (do.UseStraightEdge(choice.key == "edge") for choice in view.lines)
    yield from (do.StepHold(row.key, frets) for row in view.holds for frets in (-1, 1))
    for entry in view.entries:
        yield from (sdo.StrikeOut(entry.event), sdo.Correct(entry.event))
        yield sdo.Reinstate(entry.event)
    if view.putting_right:
        event, choices = view.putting_right.event, view.putting_right.choices
        yield from (sdo.CorrectTo(event, choice.key) for choice in choices)


def _of_the_plan(view: views.PlanView) -> Iterator[do.Command]:
    yield from (do.SeePlan(line.string) for line in view.lines)
    yield from (do.CutSlot(line.string) for line in view.lines if line.cuts)
    yield from (do.Prove(line.string) for line in view.lines if line.proves)
    yield from (do.SetToTarget(True) for line in view.lines if line.could_come_down)
    yield from (do.AskFirst(each.key) for each in view.first)
    yield from (command_of(each) for each in (view.next,) if each)
    works = [each.work for each in (*view.done, *view.other_work)]
    works += [each.work for line in view.lines for each in line.done]
    yield from (do.ReportWork(one.what, one.strings, one.amount) for one in works)
    yield from (do.AskFirst(line.first.key, line.string) for line in view.lines if line.first)
    yield do.CloseJob()


def _reports(work: Work | None) -> Iterator[do.Command]:
    if work is not None:
        yield do.ReportWork(work.what, work.strings, work.amount, work.minutes)


def _answers(card: views.QuestionCard) -> Iterator[do.Command]:
    for choice in card.choices:
        yield do.AnswerGate(card.gate, choice.key, card.string)


def _intake(view: views.IntakeView) -> Iterator[do.Command]:
    yield from (do.SetAttack(Attack(choice.key)) for choice in view.attacks)
    yield from (do.SetBow(choice.key == "yes") for choice in view.bow)
    yield from (
        do.SetComplaint(choice.key) for choice in (*view.noticed.common, *view.noticed.others)
    )
    yield from (do.Measure(), ido.SeeStrings(), ido.SeeNut(), ido.SeeName(), bdo.SeeBoard())
    yield from (do.TypeNumber("scale"), do.TypeNumber("scale bass"))
    yield do.TypeNumber("question relief")
    for line in view.corrections:
        yield from (do.SayDifferent(line.fact, choice.key) for choice in line.choices)
    yield from (do.AnswerGate("time", choice.key) for choice in view.time)
    yield from (vdo.ChooseScope(Scope(choice.key)) for choice in view.scopes)
    if view.whole:
        yield vdo.GoOnVisit()


def _of_the_bench(view: views.View) -> Iterator[do.Command]:
    match view:
        case views.KitView():
            yield from (do.ToggleLeaf(choice.key) for choice in view.leaves[:3])
            yield from (do.ToggleFile(choice.key) for choice in view.files[:3])
            yield from _stock(view)
            yield from (do.SetMarking(choice.key) for choice in view.markings)
            yield from (do.ShowSizes(choice.key) for choice in view.scales)
            yield from (do.TakeSet(choice.key) for choice in view.sets[:2])
            yield from (do.TypeNumber(choice.key) for choice in view.own)
            yield from (do.AdviseKit(), do.EmptyKit(), do.ConfirmKit(), do.KitIntoJobs())
        case views.SettingsView():
            yield from (do.AskKey(line.action) for line in view.keys)
            yield from (do.SetSetting(n, c.key) for n, _, cs in view.groups for c in cs)
        case views.RecordsView():
            yield from (kdo.SeeHub(), kdo.SeeHealth(), kdo.SeeInstall(), kdo.SeePromised())
        case views.PromisedView():
            yield from (kdo.KeepAfterAll(promise.key) for promise in view.promises)
            yield from (kdo.LetGo(each.key) for each in view.promises if each.waits)
        case views.HubView():
            yield from (kdo.SeeCode(), kdo.AskLeave(), kdo.GiveCode("k7qf2mxa"))
        case views.InstrumentsView():
            yield from (ido.FindInstruments(words) for words in ("", "electric", "xyz"))
            yield from (ido.ChooseSeveral(True), ido.ChooseSeveral(False), ido.TurnPage(1))
            yield from (ido.SeeInstrument(line.instrument) for line in view.lines)
            yield from (ido.QuickCheck(line.instrument) for line in view.lines)
            yield from (ido.ChooseInstrument(line.instrument) for line in view.lines)
            yield from (ido.CheckRack(), ido.NextInRack(), ido.PassOver(), ido.LeaveRack())
        case views.InstrumentView():
            yield from (ido.SeeName(), ido.SeeStrings(), ido.SeeNut(), do.SeeTargets())
            yield bdo.SeeBoard()
            yield from (ido.NewJobOn(view.instrument), ido.Duplicate(), kdo.SeeErasure())
            yield ido.NewJobOn(view.instrument, Scope.WHOLE)
            yield from (ido.QuickCheck(view.instrument), kdo.SeeChanges())
        case views.StringsView() | views.BoardView():
            yield from _of_the_board(view)
        case views.NutView():
            yield from (ido.SetNutType(NutType(choice.key)) for choice in view.types)
            yield from (ido.SetNutMaterial(choice.key) for choice in view.materials)
            yield do.TypeNumber("nut width")
        case views.NameView():
            yield from (ido.SaveName("Blue  one", "Marlow"), ido.SaveName("", ""))
        case views.TargetsView():
            yield from (do.SetTarget(1), do.SetTarget(-1), do.TablesTarget())
            yield from (do.SetToTarget(choice.key == "yes") for choice in view.wishes)
            yield from (do.SetBow(choice.key == "yes") for choice in view.bow)
            yield from (do.SeeTargets(line.string) for line in view.lines)
            yield do.TypeNumber("target")
        case views.ErasureView():
            yield from (kdo.AskErase(*choice.key.split(" ", 1)) for choice in view.choices)
            yield from (kdo.KeepAfterAll(choice.key) for choice in view.promised)
        case views.SureView(does="erase"):
            yield kdo.Erase()
        case views.CheckedView():
            yield from (ido.CheckString(one.string) for one in view.strings)
            yield from (ido.NextInRack(), ido.SeeInstrument(view.instrument))


def _of_the_board(view: views.StringsView | views.BoardView) -> Iterator[do.Command]:
    match view:
        case views.StringsView():
            yield from (ido.StepPitch(1), ido.StepPitch(-1), ido.StepGauge(1), ido.StepGauge(-1))
            yield from (ido.SetMake(Make(choice.key)) for choice in view.makes)
            yield from (ido.PutOnSet(choice.key) for choice in view.sets)
            yield from (ido.Retune(choice.key) for choice in view.tunings)
            yield from (ido.SeeStrings(mark.string) for mark in view.marks)
            if view.can_be_fitted:
                yield do.ReportWork(WorkKind.STRINGS_CHANGED)
            yield from (ido.MoreStrings(side) for side in Side)
            yield from (ido.FewerStrings(side) for side in Side)
            yield from (bdo.PairString(choice.key) for choice in view.pairings)
            yield from (bdo.SetHand(choice.key == "left") for choice in view.hands)
            yield from (bdo.StepOwnNut(1), bdo.StepOwnNut(-1), bdo.CommonScale())
            yield from (do.TypeNumber("gauge"), do.TypeNumber("own scale"))
        case views.BoardView():
            yield from (bdo.SpaceFrets(choice.key) for choice in view.spacings)
            yield from (bdo.ToggleHalfFret(choice.key) for choice in view.halves)
            yield from (bdo.ToggleFret(place.semitones) for place in view.places[:3])
            yield from (bdo.StepFrets(1), bdo.StepFrets(-1), bdo.TieFrets(True))
            yield do.TypeNumber("frets")


def _stock(view: views.KitView) -> Iterator[do.Command]:
    for sort, choices in (("shims", view.shims), ("fills", view.fills), ("blanks", view.blanks)):
        yield from (do.ToggleStock(sort, choice.key) for choice in choices[:2])


def choices_of(view: views.View) -> tuple[Choice, ...]:
    """Every choice that stands anywhere in a view."""
    return tuple(_choices(view))


def _choices(part: object) -> Iterator[Choice]:
    if isinstance(part, Choice):
        yield part
    elif isinstance(part, tuple):
        for each in part:
            yield from _choices(each)
    elif hasattr(part, "__dataclass_fields__"):
        for name in part.__dataclass_fields__:
            yield from _choices(getattr(part, name))
