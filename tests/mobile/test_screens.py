"""Every screen on every size of device: reachable, named, in both hands, never by colour alone."""

from __future__ import annotations

from collections import Counter
from functools import cache

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import label_commands as labels
from logic.app.commands import record_commands as kdo
from logic.app.commands import string_commands as sdo
from logic.app.presenters.number_pad import BY_QUESTION
from logic.app.views import views
from mobile.parts.theme import TAP, Theme
from mobile.screens.table import SCREENS
from shared.instrument import Attack
from shared.readings import Buzz, Contact
from tests.mobile.scenes import LOOKS, scenes
from tests.mobile.tree import Drawn, Room, drawn, spoken

SCENES = list(scenes())
PHONE = Theme()


def sizes_of(theme: Theme) -> str:
    """A name for a look in a test report."""
    return f"{theme.width:.0f}x{theme.height:.0f}{' left' if theme.left_handed else ''}"


@cache
def on_every_device(scene: str) -> list[Drawn]:
    """A scene drawn once for each look."""
    return [drawn(scenes()[scene], theme) for theme in LOOKS]


every_scene = pytest.mark.parametrize("scene", SCENES)


def test_every_kind_of_view_is_in_the_scenes() -> None:
    """No screen escapes these tests."""
    screens = {*SCREENS, views.HomeView, views.TroubleView}
    assert {type(view) for view in scenes().values()} == screens


@every_scene
def test_a_finger_meets_every_target(scene: str) -> None:
    """Whatever can be touched is 48 logical pixels high at least (WCAG 2.5.5 asks for 44)."""
    for screen in on_every_device(scene):
        low = [each.identifier for each in screen.buttons() if Room().of(each.content) < TAP]
        assert low == [], sizes_of(screen.theme)


@every_scene
@pytest.mark.parametrize("theme", [PHONE, Theme(width=844, height=390)], ids=sizes_of)
def test_everything_to_touch_has_its_own_mark_a_name_and_one_meaning(
    scene: str, theme: Theme
) -> None:
    """Marks are unique; a name is spoken; the tap is not hidden from a screen reader."""
    screen = drawn(scenes()[scene], theme)
    assert [mark for mark, count in Counter(screen.marks()).items() if count > 1] == []
    for button in screen.buttons():
        assert spoken(button).strip()
        assert len(screen.sends(str(button.identifier))) <= 1
        assert not button.exclude_semantics


@every_scene
def test_every_screen_has_one_heading(scene: str) -> None:
    """A screen reader finds where it is: one heading of the first level, with words in it."""
    for screen in on_every_device(scene):
        headings = [each for each in screen.all(ft.Semantics) if each.heading_level == 1]
        assert len(headings) == 1
        assert spoken(headings[0]).strip()


@every_scene
def test_nothing_stands_outside_the_screen(scene: str) -> None:
    """What does not scroll fits the height of every device, each text on its fewest lines."""
    room = Room(line=1.2)  # our type's own line height, rounded down
    for screen in on_every_device(scene):
        frame, theme = screen.root, screen.theme
        assert isinstance(frame, ft.Container)
        assert (frame.width, frame.height) == (theme.width, theme.height)
        assert isinstance(frame.padding, float)
        assert room.of(frame.content) <= theme.height - 2 * frame.padding, sizes_of(theme)


# --- what each touch does ---

Touches = dict[str, do.Command | None]
"""By mark, what a touch sends; None where it only changes what is shown."""

HOME: Touches = {
    "new-job": do.NewJob(),
    "records": do.SeeRecords(),
    "kit": do.SeeKit(),
    "settings": do.SeeSettings(),
}
WALK: Touches = {
    "back": do.GoHome(),
    "string-6": do.Walk(6),
    "string-1": do.Walk(1),
    "undo": do.Undo(),
    "number": do.TypeNumber(),
    "lack-leaf": sdo.LackLeaf(),
    "plan": do.SeePlan(),
}
BY_LEAF: Touches = {
    "answer-none": do.Feel(Contact.NONE),
    "answer-light": do.Feel(Contact.LIGHT),
    "answer-heavy": do.Feel(Contact.HEAVY),
    "answer-buzz": do.Hear(Buzz.NORMAL),
}
BY_EAR: Touches = {
    "answer-clean": do.Hear(Buzz.NONE),
    "answer-hard": do.Hear(Buzz.HARD),
    "answer-normal": do.Hear(Buzz.NORMAL),
    "answer-soft": do.Hear(Buzz.SOFT),
}
TOUCHES: dict[str, Touches] = {
    "first visit": HOME,
    "home": HOME,
    "home that reads labels": {**HOME, "scan": labels.ScanLabel()},
    "kinds": {
        "back": do.GoHome(),
        "kind-electric guitar": do.StartJob("electric guitar"),
        "kind-bass guitar": do.StartJob("bass guitar"),
    },
    "intake": {
        "back": do.GoHome(),
        "go-on": do.Ask(),
        "measure": do.Measure(),
        "fact-strings": ido.SeeStrings(),
        "fact-gauges": ido.SeeStrings(),
        "fact-scale": do.TypeNumber("scale"),
        "fact-nut": ido.SeeNut(),
        "fact-relief": do.TypeNumber("question relief"),
        "fact-name": ido.SeeName(),
        "time-tonight": do.AnswerGate("time", "tonight"),
        "said-check": do.SetComplaint("check"),
        "attack-heavy": do.SetAttack(Attack.HEAVY),
        "said-buzz open": do.SetComplaint("buzz open"),
    },
    "intake with a complaint": {"go-on": do.Ask()},
    "intake of an open job": {"measure": do.Measure()},
    "home with a job put away": {"bring-back": do.BringBack("name-1")},
    "preconditions": {
        "back": do.Back(),
        "all-true": do.AnswerAllYes(),
        "skip-all": do.SkipGates(),
        "why-capo": None,
    },
    "preconditions done": {"back": do.Back(), "all-true": do.SkipGates()},
    "walk": {**WALK, **BY_LEAF},
    "walk by ear": {**WALK, **BY_EAR},
    "settled": {**WALK, "next": sdo.NextString(), "afresh": sdo.ReadAfresh(1)},
    "read afresh": {**WALK, **BY_LEAF},
    "card of a string": {"back": do.Back(), "plan": do.SeePlan(1), "measure": sdo.ReadAfresh(1)},
    "putting right": {"back": do.Back(), "leave-it": do.Back()},
    "plan": {
        "back": do.GoHome(),
        "measure": do.Walk(),
        "undo": do.Undo(),
        "hand-over": do.SeeSheet(),
        "line-6": do.SeePlan(6),
    },
    "plan that waits": {"next": do.AskFirst("relief")},
    "failed check": {
        "measure-again": do.MeasureAgain("relief"),
        "leave-finding": do.LeaveFinding(),
        "undo": do.Undo(),
        "back": do.Back(),
    },
    "plan opened": {
        "card": sdo.SeeString(3),
        "line-3": do.SeePlan(None),
        "again": sdo.ReadAfresh(3),
        "back": do.SeePlan(),
    },
    "ways": {"back": do.Back(), "way-fill": do.SeeRaising("fill"), "new-nut": do.SeeNewNut()},
    "new nut": {
        "back": do.Back(),
        "spacing-graduated": do.SetSpacing("graduated"),
        "less-bass": do.TurnMargin("bass", -1),
        "more-treble": do.TurnMargin("treble", 1),
        "nut-a4": do.ShareNut("A4"),
        "nut-svg": do.ShareNut("SVG"),
    },
    "kit": {"back": do.Back()},
    "cut at a bench of two": {"who-B": do.SetSetting("who", "B")},
    "settings": {
        "back": do.Back(),
        "save-people": do.SetSetting("people", ""),
        "unit-mm": do.SetSetting("unit", "mm"),
        "hand-left": do.SetSetting("hand", "left"),
        "theme-sun": do.SetSetting("theme", "sun"),
    },
    "number pad": {"back": do.Back(), "way-held 2": do.TypeNumber("held 2")},
    "trouble": {
        "take-over": do.TakeOver(),
        "go-on": do.GoOn(),
        "export": do.ShareHistory(),
    },
    "records": {"hub": kdo.SeeHub(), "health": kdo.SeeHealth(), "back": do.Back()},
    "records with a promise": {"promised": kdo.SeePromised()},
    "home with a nudge": {"nudge": do.SeeRecords()},
    "no hub": {"scan": kdo.ScanCode(), "code": kdo.SeeCode(), "back": do.Back()},
    "hub": {"meet": kdo.MeetNow(), "leave": kdo.AskLeave()},
    "shut out": {"code": kdo.SeeCode(), "meet": kdo.MeetNow(), "leave": kdo.AskLeave()},
    "join": {"join": kdo.JoinHub("Bench phone"), "back": do.Back()},
    "leave": {"yes": kdo.LeaveHub(), "no": do.Back()},
    "sure": {"yes": kdo.Erase(), "no": do.Back()},
    "health": {"copy": kdo.CopyHealth(), "export": do.ShareHistory()},
    "cleared": {
        "take-in": do.TakeInFile(),
        "hub": kdo.SeeHub(),
        "empty": kdo.StartEmpty(),
    },
    "instrument of two": {"changes": kdo.SeeChanges(), "erase": kdo.SeeErasure()},
}


@pytest.mark.parametrize("theme", [PHONE, Theme(width=844, height=390)], ids=sizes_of)
@pytest.mark.parametrize("scene", TOUCHES)
def test_each_touch_sends_its_command(scene: str, theme: Theme) -> None:
    """The buttons of each screen do what they say, upright and on their side."""
    screen = drawn(scenes()[scene], theme)
    for mark, command in TOUCHES[scene].items():
        assert screen.sends(mark) == ([command] if command else [])


@pytest.mark.parametrize("scene", ["card", "card by string", "card to type"])
def test_each_answer_of_a_card_answers_its_question(scene: str) -> None:
    """Every answer, the skip and each string of a card speak of the question on it."""
    view = scenes()[scene]
    assert isinstance(view, views.QuestionView)
    screen, gate = drawn(view, PHONE), view.question.gate
    for choice in view.question.choices:
        assert screen.sends(f"{gate}-{choice.key}") == [do.AnswerGate(gate, choice.key)]
    assert screen.sends("skip") == [do.AnswerGate(gate, "skipped")]
    for mark in view.strings:
        assert screen.sends(f"point-{mark.string}") == [do.PointAt(mark.string)]
    if view.typed:
        assert screen.sends("type-number") == [do.TypeNumber(BY_QUESTION + gate)]


@pytest.mark.parametrize("theme", LOOKS, ids=sizes_of)
def test_what_is_left_on_a_plan_opens_at_a_touch(theme: Theme) -> None:
    """Its slots to work on stand there; those to leave are one line until that is touched."""
    view = scenes()["plan"]
    assert isinstance(view, views.PlanView) and view.left
    left = {f"line-{line.string}" for line in view.lines if line.left}
    screen = drawn(view, theme)
    assert left and not left & set(screen.marks())
    assert screen.sends("left-alone") == []
    assert left < set(screen.marks())


@pytest.mark.parametrize("theme", LOOKS, ids=sizes_of)
def test_work_done_is_reported_from_the_plan(theme: Theme) -> None:
    """What the nut needs has a button of its own; what else may have been done opens at a touch;
    each says which work, on which strings and how much."""
    view = scenes()["plan"]
    assert isinstance(view, views.PlanView) and view.done and view.other_work
    screen = drawn(view, theme)
    assert screen.sends("other-work") == []
    for offer in (*view.done, *view.other_work):
        done = offer.work
        assert screen.sends(offer.mark) == [do.ReportWork(done.what, done.strings, done.amount)]


def test_every_leaf_and_file_of_the_trade_is_a_touch() -> None:
    """The kit page toggles exactly the size that it names."""
    view = scenes()["kit"]
    assert isinstance(view, views.KitView)
    screen = drawn(view, PHONE)
    for leaf in view.leaves:
        assert screen.sends(f"leaf-{leaf.key}") == [do.ToggleLeaf(leaf.key)]
    for file in view.files:
        assert screen.sends(f"file-{file.key}") == [do.ToggleFile(file.key)]
    for shim in view.shims:
        assert screen.sends(f"shim-{shim.key}") == [do.ToggleStock("shims", shim.key)]
    for kit in view.bags:
        assert screen.sends(f"bag-{kit.key}") == [do.UseKit(kit.key)]


def test_a_touch_marks_a_tool_once_that_was_chosen() -> None:
    """While “lost” is chosen, a touch marks a tool lost and puts nothing in or out."""
    view = scenes()["kit with marks"]
    assert isinstance(view, views.KitView)
    screen, leaf, file = drawn(view, PHONE), view.leaves[0].key, view.files[0].key
    assert screen.sends(f"leaf-{leaf}") == [do.MarkTool("leaf", leaf, "lost")]
    assert screen.sends(f"file-{file}") == [do.MarkTool("file", file, "lost")]
    assert screen.sends("advise") == [do.AdviseKit()]


def test_every_job_on_the_list_opens_itself() -> None:
    """Each line at home leads to its own job; one in which nothing was read is put away beside."""
    view = scenes()["home"]
    assert isinstance(view, views.HomeView) and view.jobs
    screen = drawn(view, PHONE)
    for line in view.jobs:
        assert screen.sends(f"job-{line.job}") == [do.OpenJob(line.job)]
        if line.puts_away:
            assert screen.sends(f"away-{line.job}") == [do.PutAway(line.job)]
    assert any(line.puts_away for line in view.jobs)


def test_why_is_shown_only_when_it_is_asked_for() -> None:
    """A precondition's reason is out of the way until its “why?” is touched, and again after."""
    view = scenes()["preconditions"]
    assert isinstance(view, views.PreconditionsView)
    screen, why = drawn(view, PHONE), view.questions[0].why
    mark = f"why-{view.questions[0].gate}"
    shown = []
    for _ in range(3):
        shown.append(why in screen.words())
        screen.sends(mark)
    assert shown == [False, True, False]


def test_what_can_be_erased_and_kept_and_chosen_sends_which_one() -> None:
    """Each line of the pages about an instrument names its own matter."""
    view = scenes()["erasure promised"]
    assert isinstance(view, views.ErasureView) and view.promised
    screen = drawn(view, PHONE)
    for choice in view.choices:
        what, _, name = choice.key.partition(" ")
        assert screen.sends(f"erase-{what}-{name}") == [kdo.AskErase(what, name)]
    page = scenes()["promised"]
    assert isinstance(page, views.PromisedView) and {e.waits for e in page.promises} == {
        True,
        False,
    }
    asked = drawn(page, PHONE)
    for line in page.promises:
        assert asked.sends(f"keep-{line.key}") == [kdo.KeepAfterAll(line.key)]
        if line.waits:
            assert asked.sends(f"let-go-{line.key}") == [kdo.LetGo(line.key)]
    for promise in view.promised:
        assert screen.sends(f"keep-{promise.key}") == [kdo.KeepAfterAll(promise.key)]
    two = scenes()["two values"]
    assert isinstance(two, views.ChangesView)
    for number, line in enumerate(two.changes):
        sent = drawn(two, PHONE).sends(f"choose-{number}")
        assert sent == [kdo.ChooseOther(line.document, line.field)]


@pytest.mark.parametrize("theme", [PHONE, Theme(width=844, height=390)], ids=sizes_of)
def test_a_joining_code_is_given_with_the_keys_of_the_screen(theme: Theme) -> None:
    """Letters come one by one, one can be deleted, no more than a code has are taken."""
    view = scenes()["code"]
    assert isinstance(view, views.CodeView)
    screen = drawn(view, theme)
    assert screen.sends("go-on") == []
    for key in (*"K7Q", "Delete", *"QF2MXA", "A"):
        screen.sends(f"letter-{key}")
    assert screen.sends("go-on") == [kdo.GiveCode("K7QF2MXA")]


# --- the walk ---
