"""One instrument: what it is, where its strings stood, what was done; and pages to change it."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.desk.commands import Back, Command, OpenJob
from logic.desk.instrument_commands import (
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
from logic.desk.instrument_views import (
    InstrumentView,
    NameView,
    NutView,
    PastJob,
    StringLine,
    StringsView,
)
from logic.desk.keeping_commands import SeeChanges, SeeErasure
from logic.desk.pieces import Choice
from logic.desk.target_commands import SeeTargets
from mobile.letters import em
from mobile.look import GAP, Look
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
from mobile.parts.trend_drawing import Span, trend_drawing
from mobile.parts.writing import written
from shared.instrument import Make, NutType
from shared.words import say, say_many


def instrument_screen(view: InstrumentView, look: Look, act: Act) -> ft.Control:
    """The strings first, then their course over the jobs, then the jobs."""
    still: list[ft.Control] = [title_row(look, view.title, lambda: act(Back()))]
    about = [quiet(view.about, look, lines=1)] if view.about != view.title else []
    moving = [
        *(about if not look.landscape else []),
        *_strings(view, look),
        *_trends(view, look),
        *_past(view, look, act),
        *_two_values(view, look, act),
        *_facts(view, look),
        _changes(look, act),
        _erase(view, look, act),
    ]
    if look.landscape:
        still += about
    return two_sides(look, still, moving, _foot(view, look, act), "instrument")


def _foot(view: InstrumentView, look: Look, act: Act) -> list[ft.Control]:
    """What is done with it; a quick check where there is something to check against."""
    job = main_button(
        say("New job"), look, lambda: act(NewJobOn(view.instrument)), mark="new-job", expand=1
    )
    if not view.checks:
        note = say("A quick check needs one job that measured it.")
        return [quiet(note, look, size=look.text_size * 0.8), ft.Row([job])]
    check = plain_button(
        say("Quick check"),
        look,
        lambda: act(QuickCheck(view.instrument)),
        mark="quick-check",
        height=64,
        expand=1,
    )
    return [ft.Row([check, job], spacing=GAP)]


def _strings(view: InstrumentView, look: Look) -> list[ft.Control]:
    longest = max((em(word) for line in view.strings for word in line.name.split()), default=0.0)
    names = max(40.0 * look.scale, longest * look.text_size + 2)
    return [
        quiet(say("Last known clearance, and target"), look, size=look.text_size * 0.85),
        ft.Column([_string(line, names, look) for line in view.strings], spacing=0),
    ]


def _string(line: StringLine, names: float, look: Look) -> ft.Control:
    """One string in a line and a half: its name and clearance large, what it is below."""
    small = look.text_size * 0.78
    about: list[ft.Control] = [
        words(line.known, look, bold=True, lines=1),
        quiet(line.spec, look, size=small, lines=2),
    ]
    aim = say("own {target}", target=line.target) if line.own else line.target
    target = ft.Column(
        [quiet(text, look, size=small) for text in _target_lines(line)],
        spacing=0,
        tight=True,
        horizontal_alignment=ft.CrossAxisAlignment.END,
    )
    if look.scale > 1:
        about.append(quiet(say("target {target}", target=aim), look, size=small))
    cells: list[ft.Control] = [
        ft.Container(words(line.name, look, bold=True, lines=2), width=names),
        ft.Container(ft.Column(about, spacing=0, tight=True), expand=True),
        *([target] if look.scale <= 1 else []),
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
            border=ft.Border.only(bottom=ft.BorderSide(1, look.palette.hairline)),
        ),
    )


def _target_lines(line: StringLine) -> tuple[str, ...]:
    """The target, and below it whose it is where it is an own one."""
    return (line.target, say("own")) if line.own else (line.target,)


def _trends(view: InstrumentView, look: Look) -> list[ft.Control]:
    if not view.trends:
        return []
    columns = 2 if look.shorter < 500 else 3
    width = (list_width(look) - GAP * (columns - 1)) / columns
    span = Span.of(view.trends)
    cells: list[ft.Control] = [
        ft.Container(trend_drawing(trend, span, look, width - 1), expand=1) for trend in view.trends
    ]
    legend = say("Over the jobs   – clearance   | 95 %   - - target")
    drawn = grid(cells, columns)
    for row in drawn.controls:  # heads stand level, however long what is said below
        row.vertical_alignment = ft.CrossAxisAlignment.START  # type: ignore[attr-defined]
    return [quiet(legend, look, size=look.text_size * 0.78), drawn]


def _past(view: InstrumentView, look: Look, act: Act) -> list[ft.Control]:
    if not view.past:
        return []
    more = [quiet(say("and {count} earlier", count=view.more_past), look)] if view.more_past else []
    return [quiet(say("Jobs"), look), *(_job(job, look, act) for job in view.past), *more]


def _job(job: PastJob, look: Look, act: Act) -> ft.Control:
    when = " · ".join(filter(None, (job.when, job.state)))
    return touch(
        ft.Column(
            [
                words(job.said[:1].upper() + job.said[1:], look, bold=True, lines=2),
                quiet(when, look, size=look.text_size * 0.8, lines=1),
            ],
            spacing=0,
            alignment=ft.MainAxisAlignment.CENTER,
        ),
        look,
        lambda: act(OpenJob(job.job)),
        mark=f"job-{job.job}",
        label=f"{when}: {job.said}",
        fill=look.palette.surface,
        line=look.palette.hairline,
        height=None,
        padding=ft.Padding.symmetric(horizontal=12, vertical=9),
    )


def _two_values(view: InstrumentView, look: Look, act: Act) -> list[ft.Control]:
    """The way to what two devices wrote differently, where they did."""
    if not view.changes:
        return []
    text = say_many(
        "Two devices differ in {count} field", "Two devices differ in {count} fields", view.changes
    )
    return [plain_button(text, look, lambda: act(SeeChanges()), mark="changes")]


def _erase(view: InstrumentView, look: Look, act: Act) -> ft.Control:
    text = say("To be erased: see when") if view.erasing else say("Erase for its owner")
    return plain_button(text, look, lambda: act(SeeErasure()), mark="erase")


def _facts(view: InstrumentView, look: Look) -> list[ft.Control]:
    rows: list[ft.Control] = [
        ft.Row(
            [
                ft.Container(quiet(name, look, size=look.text_size * 0.85), width=96 * look.scale),
                words(value, look, size=look.text_size * 0.85, bold=True, expand=True),
            ],
            spacing=GAP,
        )
        for name, value in view.facts
    ]
    return [hairline(look), ft.Column(rows, spacing=4)]


def _changes(look: Look, act: Act) -> ft.Control:
    ways: tuple[tuple[str, str, Command], ...] = (
        (say("Name"), "name", SeeName()),
        (say("Strings"), "strings", SeeStrings()),
        (say("Nut"), "nut", SeeNut()),
        (say("Player"), "targets", SeeTargets()),
        (say("Duplicate"), "duplicate", Duplicate()),
    )
    cells: list[ft.Control] = [_way(*way, look, act) for way in ways]
    return grid(cells, 2)


def _way(text: str, mark: str, command: Command, look: Look, act: Act) -> ft.Control:
    return plain_button(text, look, lambda: act(command), mark=mark, expand=1)


# --- changing it ---


def strings_screen(view: StringsView, look: Look, act: Act) -> ft.Control:
    """Point at one string or at all; step its pitch and gauge, or put a usual set on."""
    beside = look.landscape and look.scale <= 1
    row = [pointing(view.marks, view.string, SeeStrings, look, act)]
    still = [
        *_title(view.title, look, act),
        *(row if not beside else []),
        words(view.place, look, bold=True),
        stepper("pitch", say("Pitch"), view.pitch, (StepPitch(-1), StepPitch(1)), look, act),
        stepper("gauge", say("Gauge"), view.gauge, (StepGauge(-1), StepGauge(1)), look, act),
    ]
    usual: list[ft.Control] = [
        *_choices(say("Made of"), view.makes, "make", lambda key: SetMake(Make(key)), look, act),
        *_choices(say("Usual sets"), view.sets, "set", PutOnSet, look, act),
        *_choices(say("Usual tunings"), view.tunings, "tuning", Retune, look, act),
        quiet(view.note, look, size=look.text_size * 0.8),
    ]
    return two_sides(look, still, row + usual if beside else usual, [], "strings")


def nut_screen(view: NutView, look: Look, act: Act) -> ft.Control:
    """How the nut holds its strings, and what it is made of."""
    moving = [
        *_choices(
            say("The nut"), view.types, "nut", lambda key: SetNutType(NutType(key)), look, act
        ),
        *_choices(say("Made of"), view.materials, "material", SetNutMaterial, look, act),
    ]
    return two_sides(look, _title(view.title, look, act), moving, [], "nut")


def name_screen(view: NameView, look: Look, act: Act) -> ft.Control:
    """A label and an owner's tag, written with the device's own keyboard."""
    moving: list[ft.Control] = [
        ft.Container(height=2),  # the label of a field stands on its edge
        _writing(view, look, act),
        quiet(say("The owner's tag is whatever tells this bench whose it is."), look),
    ]
    return two_sides(look, _title(view.title, look, act), moving, [], "name")


def _title(title: str, look: Look, act: Act) -> list[ft.Control]:
    undo = undo_beside(look, act)
    return titled(look, title, lambda: act(Back()), say("Back"), undo, width=UNDO)


def _choices(
    title: str,
    choices: tuple[Choice, ...],
    sort: str,
    command: Callable[[str], Command],
    look: Look,
    act: Act,
) -> list[ft.Control]:
    """A heading and what is offered under it; nothing where nothing is."""
    if not choices:
        return []
    columns = 2 if look.landscape or look.shorter < 360 else 3
    cells = [_choice(choice, sort, command(choice.key), look, act) for choice in choices]
    return [quiet(title, look), grid(cells, columns)]


@ft.component
def _writing(view: NameView, look: Look, act: Act) -> ft.Control:
    """The two fields are kept while they are written in, and handed in together."""
    made: ft.Column = ft.use_memo(
        lambda: _fields(view, look, act),
        [view, look.palette, look.text_size, look.width, look.scale, look.language],
    )
    return made


def _fields(view: NameView, look: Look, act: Act) -> ft.Column:
    def save() -> None:
        act(SaveName(label.value or "", owner.value or ""))

    width = list_width(look)
    label = written(view.label, look, say("Label"), width, on_enter=save)
    owner = written(view.owner, look, say("Owner's tag"), width, on_enter=save)
    button = main_button(say("Save"), look, save, mark="save-name")
    return ft.Column([label, owner, button], spacing=GAP * 1.5)


def _choice(choice: Choice, sort: str, command: Command, look: Look, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        "",
        choice.chosen,
        look,
        lambda: act(command),
        mark=f"{sort}-{choice.key}",
        expand=1,
        small=True,
    )
