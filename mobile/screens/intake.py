"""Taking an instrument in: what it is, how it is played, what was said about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import flet as ft

from logic.app.commands.commands import (
    AnswerGate,
    Ask,
    Command,
    GoHome,
    Measure,
    SayDifferent,
    SeeTargets,
    SetAttack,
    SetBow,
    SetComplaint,
    StartJob,
    TellComplaint,
    TieComplaint,
)
from logic.app.commands.visit_commands import ChooseScope, GoOnVisit
from logic.app.views.views import (
    Choice,
    Correction,
    IntakeView,
    KindsView,
    NoticedView,
    StringMark,
)
from mobile.parts.basics import (
    Act,
    choice_button,
    grid,
    main_button,
    plain_button,
    quiet,
    touch,
    words,
)
from mobile.parts.page import beside, column, frame, page
from mobile.parts.reflow import reflowed
from mobile.parts.text_metrics import on_a_line, run_over
from mobile.parts.theme import GAP, Theme
from mobile.parts.writing import written
from mobile.screens.intake_facts import facts
from shared.instrument import Attack
from shared.setup import Scope
from shared.words import say, say_as

CHECK = "check"
"""The complaint that is none: it is here to be looked over."""
TICKED = 42.0
"""Padding, edges and tick of a choice beside its words."""
AROUND = 16.0
"""Padding and edges of a button beside its words."""
LONGEST_WORDS = 400
"""Characters of the field for what was said."""


def kinds_screen(view: KindsView, theme: Theme, act: Act) -> ft.Control:
    """One tap on what lies on the bench."""
    cells = [_kind(choice, theme, act) for choice in view.kinds]
    columns = 3 if theme.landscape else 2
    return page(
        theme,
        say("What lies on the bench?"),
        [grid(cells, columns)],
        on_back=lambda: act(GoHome()),
        back=say("Home"),
    )


def _kind(choice: Choice, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        choice.detail,
        False,
        theme,
        lambda: act(StartJob(choice.key)),
        mark=f"kind-{choice.key}",
        height=84,
        expand=1,
    )


def intake_screen(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """Everything is filled in from the preset; change what differs and go on."""
    return frame(theme, _intake(view, theme, act), margin=theme.margin)


@dataclass
class _Writing:
    """What stands in the field, which is handed on before anything else happens."""

    view: IntakeView
    act: Act
    text: str = ""

    def shown(self, view: IntakeView, act: Act) -> None:
        """The screen is drawn anew: the field holds what is kept, unless more was written."""
        if view.noticed.words != self.view.noticed.words or view.job != self.view.job:
            self.text = view.noticed.words
        self.view, self.act = view, act

    def write(self, text: str) -> None:
        """The field now holds this."""
        self.text = text

    def tell(self) -> None:
        """Hand on what was written, if it is not what is kept."""
        if " ".join(self.text.split()) != self.view.noticed.words:
            self.act(TellComplaint(self.text))

    def then(self, command: Command) -> None:
        """Hand on what was written, and do this."""
        self.tell()
        self.act(command)


@ft.component
def _intake(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """What is written lives here until it is handed on."""
    writing: _Writing | None = ft.use_ref(_Writing(view, act, view.noticed.words)).current
    assert writing is not None
    writing.shown(view, act)
    then = writing.then
    usual: list[ft.Control] = [
        words(say("How hard is it played?"), theme, bold=True),
        _offered(view.attacks, "attack", lambda key: then(SetAttack(Attack(key))), theme, 3),
        *_bow(view, theme, then),
        _targets(view, theme, then),
    ]
    known: list[ft.Control] = [
        _scope(view, theme, then),
        *_announced(view.said, theme),
        facts(view, theme, then),
    ]
    said, differs = _noticed(view.noticed, theme, writing), _usual(view, theme, then)
    body = [*_time_and_check(view, theme, then), *known, *said, differs, *usual]
    if theme.landscape and theme.scale <= 1:
        time, check = _time(view, theme, then), _check(view, theme, then)
        body = beside([*time, *known, differs], [*check, *said, *usual], theme)
    back = lambda: then(GoHome())  # noqa: E731
    foot = [_ways_on(view, theme, then)]
    drawn = column(theme, view.title, body, foot=foot, on_back=back, back=say("Home"))
    return reflowed(drawn, theme)


def _scope(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """What the visit is for; the nut alone stands chosen."""
    choose = lambda key: act(ChooseScope(Scope(key)))  # noqa: E731
    columns = _abreast(view.scopes, theme)
    return _offered(view.scopes, "scope", choose, theme, columns, height=48.0)


def _time_and_check(view: IntakeView, theme: Theme, act: Act) -> list[ft.Control]:
    """How long there is, and that nothing is wrong, in one block before anything that scrolls
    away."""
    time = lambda key: act(AnswerGate("time", key))  # noqa: E731
    pick = lambda key: act(SetComplaint(key))  # noqa: E731
    check = tuple(one for one in view.noticed.common if one.key == CHECK)
    cells = [*_buttons(view.time, "time", time, theme), *_buttons(check, "said", pick, theme)]
    columns = 2 if _abreast((*view.time, *check), theme) > 1 else 1
    return [words(say("When must it play?"), theme, bold=True), grid(cells, columns)]


def _time(view: IntakeView, theme: Theme, act: Act) -> list[ft.Control]:
    """How long there is, before anything that scrolls away."""
    time = lambda key: act(AnswerGate("time", key))  # noqa: E731
    columns = _abreast(view.time, theme)
    height = 48.0 if _on_one_line(view.time, columns, theme) else 56.0
    return [
        words(say("When must it play?"), theme, bold=True),
        _offered(view.time, "time", time, theme, columns, height=height),
    ]


def _check(view: IntakeView, theme: Theme, act: Act) -> list[ft.Control]:
    """That nothing is wrong, before anything that scrolls away."""
    check = tuple(one for one in view.noticed.common if one.key == CHECK)
    pick = lambda key: act(SetComplaint(key))  # noqa: E731
    return [_offered(check, "said", pick, theme, 1, height=52)] if check else []


def _bow(view: IntakeView, theme: Theme, act: Act) -> list[ft.Control]:
    """Plucked, or with a bow."""
    pick = lambda key: act(SetBow(key == "yes"))  # noqa: E731
    return [_offered(view.bow, "bow", pick, theme, 2)] if view.bow else []


def _abreast(choices: tuple[Choice, ...], theme: Theme) -> int:
    """As many columns as leave every label whole on two lines, its tick beside it."""
    for columns in range(len(choices), 1, -1):
        ems = _ems(columns, theme)
        if all(len(run_over(choice.label, ems)) <= 2 for choice in choices):
            return columns
    return 1


def _on_one_line(choices: tuple[Choice, ...], columns: int, theme: Theme) -> bool:
    """Whether no label takes two in so many columns."""
    return all(len(run_over(choice.label, _ems(columns, theme))) == 1 for choice in choices)


def _ems(columns: int, theme: Theme) -> float:
    """What a line of a label holds in one of so many columns, its tick beside it."""
    room = (theme.column - GAP * 2) / 2 if theme.landscape else theme.column
    return ((room - GAP * (columns - 1)) / columns - TICKED) / (theme.text_size * 0.92)


def _ways_on(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """To the strings; beside it the questions, where they may wait; or on with the visit."""
    if view.whole:
        return main_button(say("Go on"), theme, lambda: act(GoOnVisit()), mark="go-on-visit")
    if not view.straight:
        return main_button(say("Go on"), theme, lambda: act(Ask()), mark="go-on")
    measure = main_button(say("Measure"), theme, lambda: act(Measure()), mark="measure", expand=6)
    if view.begun:
        return ft.Row([measure])
    first = say("Questions first")
    room = (theme.column - GAP) * 5 / 11 - AROUND
    size = theme.text_size if theme.scale > 1 else on_a_line(first, room, 18.0)
    ask = plain_button(
        first, theme, lambda: act(Ask()), mark="go-on", expand=5, height=64, size=size
    )
    return ft.Row([ask, measure], spacing=GAP)


def _noticed(view: NoticedView, theme: Theme, writing: _Writing) -> list[ft.Control]:
    """Own words first, what was understood of them below, and what comes nearest to pick."""
    width = (theme.column - GAP * 2) / 2 if theme.landscape else theme.column
    field = written(
        writing.text,
        theme,
        say("In their own words"),
        width,
        on_change=writing.write,
        on_enter=writing.tell,
        longest=LONGEST_WORDS,
    )
    pick = lambda key: writing.then(SetComplaint(key))  # noqa: E731
    return [
        words(say("What was said or noticed?"), theme, bold=True),
        field,
        *_understood(view, theme),
        *_strings(view, theme, writing.then),
        _offered(tuple(each for each in view.common if each.key != CHECK), "said", pick, theme, 2),
        _others(view, theme, pick),
        *_before(view, theme, writing.then),
    ]


def _understood(view: NoticedView, theme: Theme) -> list[ft.Control]:
    """What the words were taken to mean, and which mean nothing here."""
    lines: list[ft.Control] = []
    if view.understood:
        understood = say("Understood: {what}.", what=", ".join(view.understood))
        lines.append(words(understood, theme, color=theme.palette.brass))
    for lost in view.not_understood:
        shown = say("Not understood: “{words}”.", words=lost)
        lines.append(words(f"{shown} {say('Pick what comes nearest.')}", theme))
    return lines


def _strings(view: NoticedView, theme: Theme, act: Act) -> list[ft.Control]:
    """Every string, to say of which it was said; none marked: of all."""
    if not view.strings:
        return []
    cells = [_string(one, theme, act) for one in view.strings]
    row = grid(cells, len(cells) if len(cells) <= 7 else 6, gap=4)
    return [quiet(say("Of which strings? None: of all."), theme), row]


def _before(view: NoticedView, theme: Theme, act: Act) -> list[ft.Control]:
    """What happened just before it was noticed."""
    if not view.before:
        return []
    answer = lambda key: act(AnswerGate("just_before", key))  # noqa: E731
    asked = words(say("What happened just before?"), theme, bold=True)
    return [asked, _offered(view.before, "before", answer, theme, 2)]


def _string(one: StringMark, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        one.label,
        "",
        one.here,
        theme,
        lambda: act(TieComplaint(one.string)),
        mark=f"tie-{one.string}",
        height=52,
        expand=1,
    )


@ft.component
def _others(view: NoticedView, theme: Theme, pick: Callable[[str], None]) -> ft.Control:
    """What is seldom said, opened by a touch."""
    open_, set_open = ft.use_state(False)
    text = say("Fewer") if open_ else say("More that can be wrong")
    more = plain_button(text, theme, lambda: set_open(not open_), mark="more-said")
    rows: list[ft.Control] = [more]
    if open_:
        rows.insert(0, _offered(view.others, "said", pick, theme, 2))
    return ft.Column(rows, spacing=GAP)


def _targets(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """Where the strings are aimed at: the table's targets, or own ones."""
    text = view.targets or say("Own targets for this player")
    return plain_button(text, theme, lambda: act(SeeTargets()), mark="targets")


def _announced(said: str, theme: Theme) -> list[ft.Control]:
    """What the last change makes of what was read, told when it changes."""
    if not said:
        return []
    announced = words(said, theme, color=theme.palette.brass)
    return [ft.Semantics(live_region=True, container=True, content=announced)]


@ft.component
def _usual(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """Where the rest comes from that nobody said; what can differ from it is opened by a touch."""
    open_, set_open = ft.use_state(False)
    small = theme.text_size * 0.85
    text = say("done") if open_ else say("differs?")
    differs = touch(
        words(text, theme, size=small, color=theme.palette.brass),
        theme,
        lambda: set_open(not open_),
        mark="differs",
        label=say_as("button", "Done") if open_ else say("Something differs from the usual"),
        padding=ft.Padding.symmetric(horizontal=6),
        align=ft.Alignment.CENTER,
    )
    assumed = ft.Container(quiet(view.assumed, theme, size=small), expand=1)
    rows: list[ft.Control] = [ft.Row([assumed, differs], spacing=GAP)]
    if open_:
        rows += [_correction(each, theme, act) for each in view.corrections]
    return ft.Column(rows, spacing=4)


def _correction(fact: Correction, theme: Theme, act: Act) -> ft.Control:
    """One fact and all that it can be."""
    say = lambda key: act(SayDifferent(fact.fact, key))  # noqa: E731
    columns = 3 if theme.landscape or len(fact.choices) == 3 else 2
    offered = _offered(fact.choices, fact.fact, say, theme, columns, height=52)
    return ft.Column([words(fact.text, theme, bold=True), offered], spacing=4)


def _offered(
    choices: tuple[Choice, ...],
    mark: str,
    say: Callable[[str], None],
    theme: Theme,
    columns: int,
    height: float = 64.0,
) -> ft.Control:
    """One of several, in a grid; `mark` and the choice's key name each for tests."""
    return grid(_buttons(choices, mark, say, theme, height), columns)


def _buttons(
    choices: tuple[Choice, ...],
    mark: str,
    say: Callable[[str], None],
    theme: Theme,
    height: float = 64.0,
) -> list[ft.Control]:
    return [
        choice_button(
            choice.label,
            choice.detail,
            choice.chosen,
            theme,
            lambda key=choice.key: say(key),  # type: ignore[misc]
            mark=f"{mark}-{choice.key}",
            height=height,
            expand=1,
        )
        for choice in choices
    ]
