"""One instrument: what it is, where its strings stood, what was done."""

from __future__ import annotations

import flet as ft

from logic.app.commands.board_commands import SeeBoard
from logic.app.commands.commands import Back, Command, OpenJob, TypeNumber
from logic.app.commands.instrument_commands import (
    Duplicate,
    NewJobOn,
    QuickCheck,
    SeeName,
    SeeNut,
    SeeStrings,
)
from logic.app.commands.record_commands import SeeChanges, SeeErasure
from logic.app.commands.target_commands import SeeTargets
from logic.app.views.instrument_views import (
    InstrumentView,
    PastJob,
    StringFields,
)
from mobile.parts.basics import (
    Act,
    grid,
    hairline,
    main_button,
    plain_button,
    quiet,
    touch,
    words,
)
from mobile.parts.page import title_row
from mobile.parts.sides import list_width, two_sides
from mobile.parts.text_metrics import em
from mobile.parts.theme import GAP, Theme
from mobile.parts.trend_drawing import Span, trend_drawing
from shared.setup import Scope
from shared.words import say, say_many


def instrument_screen(view: InstrumentView, theme: Theme, act: Act) -> ft.Control:
    """The strings first, then their course over the jobs, then the jobs."""
    still: list[ft.Control] = [title_row(theme, view.title, lambda: act(Back()))]
    about = [quiet(view.about, theme, lines=1)] if view.about != view.title else []
    moving = [
        *(about if not theme.landscape else []),
        *_strings(view, theme),
        *_trends(view, theme),
        *_past(view, theme, act),
        *_two_values(view, theme, act),
        *_facts(view, theme),
        _changes(theme, act),
        _erase(view, theme, act),
    ]
    if theme.landscape:
        still += about
    return two_sides(theme, still, moving, _work_buttons(view, theme, act), "instrument")


def _work_buttons(view: InstrumentView, theme: Theme, act: Act) -> list[ft.Control]:
    """What is done with it; a quick check where there is something to check against."""
    job = main_button(
        say("New job"), theme, lambda: act(NewJobOn(view.instrument)), mark="new-job", expand=1
    )
    if not view.checks:
        note = say("A quick check needs one job that measured it.")
        said = quiet(note, theme, size=theme.text_size * 0.8)
        return [said, _wider(view, theme, act), ft.Row([job])]
    check = plain_button(
        say("Quick check"),
        theme,
        lambda: act(QuickCheck(view.instrument)),
        mark="quick-check",
        height=64,
        expand=1,
    )
    return [_wider(view, theme, act), ft.Row([check, job], spacing=GAP)]


def _wider(view: InstrumentView, theme: Theme, act: Act) -> ft.Control:
    """A visit that is for more than the nut."""
    ways = ((Scope.WHOLE, say("Whole set-up")), (Scope.CHECK, say("Check only")))
    cells = [_visit(view, scope, text, theme, act) for scope, text in ways]
    return ft.Row(cells, spacing=GAP)


def _visit(view: InstrumentView, scope: Scope, text: str, theme: Theme, act: Act) -> ft.Control:
    begin = lambda: act(NewJobOn(view.instrument, scope))  # noqa: E731
    return plain_button(text, theme, begin, mark=f"new-{scope.value}", height=48.0, expand=1)


def _strings(view: InstrumentView, theme: Theme) -> list[ft.Control]:
    longest = max((em(word) for line in view.strings for word in line.name.split()), default=0.0)
    names = max(40.0 * theme.scale, longest * theme.text_size + 2)
    return [
        quiet(say("Last known clearance, and target"), theme, size=theme.text_size * 0.85),
        ft.Column([_string(line, names, theme) for line in view.strings], spacing=0),
    ]


def _string(line: StringFields, names: float, theme: Theme) -> ft.Control:
    """One string in a line and a half: its name and clearance large, what it is below."""
    small = theme.text_size * 0.78
    about: list[ft.Control] = [
        words(line.known, theme, bold=True, lines=2),
        quiet(line.spec, theme, size=small, lines=2),
    ]
    aim = say("own {target}", target=line.target) if line.own else line.target
    target = ft.Column(
        [quiet(text, theme, size=small) for text in _target_lines(line)],
        spacing=0,
        tight=True,
        horizontal_alignment=ft.CrossAxisAlignment.END,
    )
    if theme.scale > 1:
        about.append(quiet(say("target {target}", target=aim), theme, size=small))
    cells: list[ft.Control] = [
        ft.Container(words(line.name, theme, bold=True, lines=2), width=names),
        ft.Container(ft.Column(about, spacing=0, tight=True), expand=True),
        *([target] if theme.scale <= 1 else []),
    ]
    return ft.Semantics(
        container=True,
        exclude_semantics=True,
        label=say(
            "String {name}, {spec}. {known}, target {target}",
            name=line.name,
            spec=line.spec,
            known=line.known,
            target=aim,
        ),
        content=ft.Container(
            ft.Row(cells, spacing=GAP),
            padding=ft.Padding.symmetric(vertical=5),
            border=ft.Border.only(bottom=ft.BorderSide(1, theme.palette.hairline)),
        ),
    )


def _target_lines(line: StringFields) -> tuple[str, ...]:
    """The target, and below it whose it is where it is an own one."""
    return (line.target, say("own")) if line.own else (line.target,)


def _trends(view: InstrumentView, theme: Theme) -> list[ft.Control]:
    if not view.trends:
        return []
    columns = 2 if theme.shorter < 500 else 3
    width = (list_width(theme) - GAP * (columns - 1)) / columns
    span = Span.of(view.trends)
    cells: list[ft.Control] = [
        ft.Container(trend_drawing(trend, span, theme, width - 1), expand=1)
        for trend in view.trends
    ]
    legend = say("Over the jobs   – clearance   | range   - - target")
    drawn = grid(cells, columns)
    for row in drawn.controls:  # heads stand level, however long what is said below
        row.vertical_alignment = ft.CrossAxisAlignment.START  # type: ignore[attr-defined]
    return [quiet(legend, theme, size=theme.text_size * 0.78), drawn]


def _past(view: InstrumentView, theme: Theme, act: Act) -> list[ft.Control]:
    if not view.past:
        return []
    more = (
        [quiet(say("and {count} earlier", count=view.more_past), theme)] if view.more_past else []
    )
    return [
        quiet(say("Jobs"), theme),
        *(_past_job_row(job, theme, act) for job in view.past),
        *more,
    ]


def _past_job_row(job: PastJob, theme: Theme, act: Act) -> ft.Control:
    when = " · ".join(filter(None, (job.when, job.state)))
    return touch(
        ft.Column(
            [
                words(job.said[:1].upper() + job.said[1:], theme, bold=True, lines=2),
                quiet(when, theme, size=theme.text_size * 0.8, lines=1),
            ],
            spacing=0,
            alignment=ft.MainAxisAlignment.CENTER,
        ),
        theme,
        lambda: act(OpenJob(job.job)),
        mark=f"job-{job.job}",
        label=f"{when}: {job.said}",
        fill=theme.palette.surface,
        line=theme.palette.hairline,
        height=None,
        padding=ft.Padding.symmetric(horizontal=12, vertical=9),
    )


def _two_values(view: InstrumentView, theme: Theme, act: Act) -> list[ft.Control]:
    """The way to what two devices wrote differently, where they did."""
    if not view.changes:
        return []
    text = say_many(
        "Two devices differ in {count} field", "Two devices differ in {count} fields", view.changes
    )
    return [plain_button(text, theme, lambda: act(SeeChanges()), mark="changes")]


def _erase(view: InstrumentView, theme: Theme, act: Act) -> ft.Control:
    text = say("To be erased: see when") if view.erasing else say("Erase for its owner")
    return plain_button(text, theme, lambda: act(SeeErasure()), mark="erase")


def _facts(view: InstrumentView, theme: Theme) -> list[ft.Control]:
    rows: list[ft.Control] = [
        ft.Row(
            [
                ft.Container(
                    quiet(name, theme, size=theme.text_size * 0.85), width=96 * theme.scale
                ),
                words(value, theme, size=theme.text_size * 0.85, bold=True, expand=True),
            ],
            spacing=GAP,
        )
        for name, value in view.facts
    ]
    return [hairline(theme), ft.Column(rows, spacing=4)]


def _changes(theme: Theme, act: Act) -> ft.Control:
    ways: tuple[tuple[str, str, Command], ...] = (
        (say("Name"), "name", SeeName()),
        (say("Strings"), "strings", SeeStrings()),
        (say("Nut"), "nut", SeeNut()),
        (say("Frets"), "board", SeeBoard()),
        (say("Scale"), "scale", TypeNumber("scale")),
        (say("Player"), "targets", SeeTargets()),
        (say("Duplicate"), "duplicate", Duplicate()),
    )
    cells: list[ft.Control] = [_page_button(*way, theme, act) for way in ways]
    return grid(cells, 2)


def _page_button(text: str, mark: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    return plain_button(text, theme, lambda: act(command), mark=mark, expand=1)
