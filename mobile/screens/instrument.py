"""One instrument: what it is, where its strings stood, what was done; and pages to change it."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import Back, Command, OpenJob
from logic.app.commands.instrument_commands import (
    Duplicate,
    NewJobOn,
    PutOnSet,
    QuickCheck,
    Retune,
    SaveName,
    SeeName,
    SeeNut,
    SeeStrings,
    SetMake,
    SetNutMaterial,
    SetNutType,
    StepGauge,
    StepPitch,
)
from logic.app.commands.record_commands import SeeChanges, SeeErasure
from logic.app.commands.target_commands import SeeTargets
from logic.app.views.instrument_views import (
    InstrumentView,
    NameView,
    NutView,
    PastJob,
    StringFields,
    StringsView,
)
from logic.app.views.pieces import Choice
from mobile.parts.basics import (
    Act,
    choice_button,
    grid,
    hairline,
    main_button,
    plain_button,
    quiet,
    touch,
    words,
)
from mobile.parts.page import title_row
from mobile.parts.pointing import pointing
from mobile.parts.sides import UNDO, list_width, titled, two_sides, undo_beside
from mobile.parts.stepping import stepper
from mobile.parts.text_metrics import em
from mobile.parts.theme import GAP, Theme
from mobile.parts.trend_drawing import Span, trend_drawing
from mobile.parts.writing import written
from shared.instrument import Make, NutType
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
        return [quiet(note, theme, size=theme.text_size * 0.8), ft.Row([job])]
    check = plain_button(
        say("Quick check"),
        theme,
        lambda: act(QuickCheck(view.instrument)),
        mark="quick-check",
        height=64,
        expand=1,
    )
    return [ft.Row([check, job], spacing=GAP)]


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
        words(line.known, theme, bold=True, lines=1),
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
    legend = say("Over the jobs   – clearance   | 95 %   - - target")
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
        (say("Player"), "targets", SeeTargets()),
        (say("Duplicate"), "duplicate", Duplicate()),
    )
    cells: list[ft.Control] = [_page_button(*way, theme, act) for way in ways]
    return grid(cells, 2)


def _page_button(text: str, mark: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    return plain_button(text, theme, lambda: act(command), mark=mark, expand=1)


# --- changing it ---


def strings_screen(view: StringsView, theme: Theme, act: Act) -> ft.Control:
    """Point at one string or at all; step its pitch and gauge, or put a usual set on."""
    beside = theme.landscape and theme.scale <= 1
    row = [pointing(view.marks, view.string, SeeStrings, theme, act)]
    still = [
        *_title_with_undo(view.title, theme, act),
        *(row if not beside else []),
        words(view.place, theme, bold=True),
        stepper("pitch", say("Pitch"), view.pitch, (StepPitch(-1), StepPitch(1)), theme, act),
        stepper("gauge", say("Gauge"), view.gauge, (StepGauge(-1), StepGauge(1)), theme, act),
        *_doubts(view, theme),
    ]
    usual: list[ft.Control] = [
        *_choices(say("Made of"), view.makes, "make", lambda key: SetMake(Make(key)), theme, act),
        *_choices(say("Usual sets"), view.sets, "set", PutOnSet, theme, act),
        *_choices(say("Usual tunings"), view.tunings, "tuning", Retune, theme, act),
        quiet(view.note, theme, size=theme.text_size * 0.8),
    ]
    return two_sides(theme, still, row + usual if beside else usual, [], "strings")


def _doubts(view: StringsView, theme: Theme) -> list[ft.Control]:
    """What can hardly be meant, beside the steppers that would put it right."""
    if not view.doubts:
        return []
    size = theme.text_size * 0.85
    lines: list[ft.Control] = [
        words(line, theme, size=size, color=theme.palette.alarm) for line in view.doubts
    ]
    said = ft.Column(lines, spacing=2)
    return [ft.Semantics(live_region=True, container=True, content=said)]


def nut_screen(view: NutView, theme: Theme, act: Act) -> ft.Control:
    """How the nut holds its strings, and what it is made of."""
    moving = [
        *_choices(
            say("The nut"), view.types, "nut", lambda key: SetNutType(NutType(key)), theme, act
        ),
        *_choices(say("Made of"), view.materials, "material", SetNutMaterial, theme, act),
    ]
    return two_sides(theme, _title_with_undo(view.title, theme, act), moving, [], "nut")


def name_screen(view: NameView, theme: Theme, act: Act) -> ft.Control:
    """A label and an owner's tag, written with the device's own keyboard."""
    moving: list[ft.Control] = [
        ft.Container(height=2),  # the label of a field stands on its edge
        _writing(view, theme, act),
        quiet(say("The owner's tag is whatever tells this bench whose it is."), theme),
    ]
    return two_sides(theme, _title_with_undo(view.title, theme, act), moving, [], "name")


def _title_with_undo(title: str, theme: Theme, act: Act) -> list[ft.Control]:
    undo = undo_beside(theme, act)
    return titled(theme, title, lambda: act(Back()), say("Back"), undo, width=UNDO)


def _choices(
    title: str,
    choices: tuple[Choice, ...],
    sort: str,
    command: Callable[[str], Command],
    theme: Theme,
    act: Act,
) -> list[ft.Control]:
    """A heading and what is offered under it; nothing where nothing is."""
    if not choices:
        return []
    columns = 2 if theme.landscape or theme.shorter < 360 else 3
    cells = [_choice(choice, sort, command(choice.key), theme, act) for choice in choices]
    return [quiet(title, theme), grid(cells, columns)]


@ft.component
def _writing(view: NameView, theme: Theme, act: Act) -> ft.Control:
    """The two fields are kept while they are written in, and handed in together."""
    made: ft.Column = ft.use_memo(
        lambda: _fields(view, theme, act),
        [view, theme.palette, theme.text_size, theme.width, theme.scale, theme.language],
    )
    return made


def _fields(view: NameView, theme: Theme, act: Act) -> ft.Column:
    def save() -> None:
        act(SaveName(label.value or "", owner.value or ""))

    width = list_width(theme)
    label = written(view.label, theme, say("Label"), width, on_enter=save)
    owner = written(view.owner, theme, say("Owner's tag"), width, on_enter=save)
    button = main_button(say("Save"), theme, save, mark="save-name")
    return ft.Column([label, owner, button], spacing=GAP * 1.5)


def _choice(choice: Choice, sort: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        "",
        choice.chosen,
        theme,
        lambda: act(command),
        mark=f"{sort}-{choice.key}",
        expand=1,
        small=True,
    )
