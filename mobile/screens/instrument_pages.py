"""The pages that change an instrument: its strings, its nut, and whose it is."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.board_commands import CommonScale, PairString, SetHand, StepOwnNut
from logic.app.commands.commands import Back, Command, TypeNumber
from logic.app.commands.instrument_commands import (
    FewerStrings,
    MoreStrings,
    PutOnSet,
    Retune,
    SaveName,
    SeeStrings,
    SetMake,
    SetNutMaterial,
    SetNutType,
    StepGauge,
    StepPitch,
)
from logic.app.commands.nut_commands import ReportWork
from logic.app.views.instrument_views import NameView, NutView, StringsView
from logic.app.views.pieces import Choice
from mobile.parts.basics import (
    Act,
    choice_button,
    grid,
    main_button,
    plain_button,
    quiet,
    words,
)
from mobile.parts.pointing import pointing
from mobile.parts.sides import UNDO, list_width, titled, two_sides, undo_beside
from mobile.parts.stepping import stepper
from mobile.parts.text_metrics import SPACED_OUT, em, run_over
from mobile.parts.theme import GAP, Theme
from mobile.parts.writing import written
from shared.instrument import Make, NutType
from shared.measurements import Side
from shared.words import say
from shared.work import WorkKind


def strings_screen(view: StringsView, theme: Theme, act: Act) -> ft.Control:
    """Point at one string or at all; step its pitch and gauge, or put a usual set on."""
    beside = theme.landscape and theme.scale <= 1
    row = [pointing(view.marks, view.string, SeeStrings, theme, act)]
    still = [
        *title_with_undo(view.title, theme, act),
        *(row if not beside else []),
        words(view.place, theme, bold=True),
        stepper("pitch", say("Pitch"), view.pitch, (StepPitch(-1), StepPitch(1)), theme, act),
        stepper("gauge", say("Gauge"), view.gauge, (StepGauge(-1), StepGauge(1)), theme, act),
        *_doubts(view, theme),
        *announced(view.said, theme),
    ]
    usual: list[ft.Control] = [
        *_fitted(view, theme, act),
        *_count(view, theme, act),
        *_typed_gauge(view, theme, act),
        *_choices(say("Made of"), view.makes, "make", lambda key: SetMake(Make(key)), theme, act),
        *_lies(view, theme, act),
        *_choices(say("Usual sets"), view.sets, "set", PutOnSet, theme, act),
        *_choices(say("Usual tunings"), view.tunings, "tuning", Retune, theme, act),
        quiet(view.note, theme, size=theme.text_size * 0.8),
    ]
    return two_sides(theme, still, row + usual if beside else usual, [], "strings")


def _fitted(view: StringsView, theme: Theme, act: Act) -> list[ft.Control]:
    """That other strings are on now: one touch, and all are read again."""
    if not view.can_be_fitted:
        return []
    done = lambda: act(ReportWork(WorkKind.STRINGS_CHANGED))  # noqa: E731
    return [plain_button(say("New strings were fitted"), theme, done, mark="fitted")]


def _count(view: StringsView, theme: Theme, act: Act) -> list[ft.Control]:
    """How many strings there are, where all are spoken of: they come and go at either side."""
    if view.string is not None:
        return []
    sides = ((say("At the bass side"), Side.BASS), (say("At the treble side"), Side.TREBLE))
    return [
        stepper(
            "count" if side is Side.BASS else "count-treble",
            name,
            view.count,
            (FewerStrings(side), MoreStrings(side)),
            theme,
            act,
        )
        for name, side in sides
    ]


def _lies(view: StringsView, theme: Theme, act: Act) -> list[ft.Control]:
    """What lies beside it, where its own nut is, how long its own scale is; of all, which way the
    instrument is strung."""
    drawn = _choices(say("Courses"), view.pairings, "pairing", PairString, theme, act)
    if view.own_nut:
        ways = (StepOwnNut(-1), StepOwnNut(1))
        drawn.append(stepper("own-nut", say("Its own nut"), view.own_nut, ways, theme, act))
    if view.own_scale:
        pad = lambda: act(TypeNumber("own scale"))  # noqa: E731
        said = say("Own scale: {scale}", scale=view.own_scale)
        drawn.append(plain_button(said, theme, pad, mark="type-own-scale"))
    if view.has_own_scale:
        common = lambda: act(CommonScale())  # noqa: E731
        said = say("The instrument's scale again")
        drawn.append(plain_button(said, theme, common, mark="common-scale"))
    hand = lambda key: SetHand(key == "left")  # noqa: E731
    return drawn + _choices(say("Which way is it strung?"), view.hands, "hand", hand, theme, act)


def _typed_gauge(view: StringsView, theme: Theme, act: Act) -> list[ft.Control]:
    """The gauge of one string as it is printed on its envelope, or measured."""
    if view.string is None:
        return []
    pad = lambda: act(TypeNumber("gauge"))  # noqa: E731
    return [plain_button(say("Type its gauge"), theme, pad, mark="type-gauge")]


def announced(said: str, theme: Theme) -> list[ft.Control]:
    """What the last change makes of what was read, or why it was not made."""
    if not said:
        return []
    line = words(said, theme, size=theme.text_size * 0.85, color=theme.palette.brass)
    return [ft.Semantics(live_region=True, container=True, content=line)]


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
    """How the nut holds its strings, what it is made of, and how wide it is."""
    moving = [
        *_choices(
            say("The nut"), view.types, "nut", lambda key: SetNutType(NutType(key)), theme, act
        ),
        *_choices(say("Made of"), view.materials, "material", SetNutMaterial, theme, act),
        plain_button(
            say("Width: {width}", width=view.width),
            theme,
            lambda: act(TypeNumber("nut width")),
            mark="type-width",
        ),
    ]
    return two_sides(theme, title_with_undo(view.title, theme, act), moving, [], "nut")


def name_screen(view: NameView, theme: Theme, act: Act) -> ft.Control:
    """A label, an owner's tag and the visit's ticket, written with the device's own keyboard."""
    moving: list[ft.Control] = [
        ft.Container(height=2),  # the label of a field stands on its edge
        _writing(view, theme, act),
        *_same_owner(view, theme, act),
        quiet(say("The owner's tag is whatever tells this bench whose it is."), theme),
    ]
    return two_sides(theme, title_with_undo(view.title, theme, act), moving, [], "name")


def title_with_undo(title: str, theme: Theme, act: Act) -> list[ft.Control]:
    """The title of a page that changes something, with the way to take it back."""
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
    cells = [_choice(choice, sort, command(choice.key), theme, act) for choice in choices]
    return [quiet(title, theme), grid(cells, _abreast(choices, theme))]


def _abreast(choices: tuple[Choice, ...], theme: Theme) -> int:
    """As many columns as leave every label whole on two lines, its tick beside it."""
    most = 2 if theme.landscape or theme.shorter < 360 else 3
    size = theme.text_size * SMALL
    for columns in range(most, 2, -1):
        cell = (list_width(theme) - GAP * (columns - 1)) / columns
        room = (cell - BESIDE) / (size * SPACED_OUT) - em("✓")
        if all(len(run_over(choice.label, room)) <= 2 for choice in choices):
            return columns
    return 2


SMALL = 0.78
"""Size of a choice's words, in parts of the text's."""
BESIDE = 18.0
"""What the frame of a choice takes beside its words, and the gap before its tick."""


def _same_owner(view: NameView, theme: Theme, act: Act) -> list[ft.Control]:
    """What else is of an owner of this name, and a tag for another one."""
    if not view.others:
        return []
    another = SaveName(view.label, view.another, view.ticket or "")
    said = say("Another owner: write {name}", name=view.another)
    others = words(view.others, theme, color=theme.palette.brass)
    return [
        ft.Semantics(live_region=True, container=True, content=others),
        plain_button(said, theme, lambda: act(another), mark="another-owner"),
    ]


@ft.component
def _writing(view: NameView, theme: Theme, act: Act) -> ft.Control:
    """The fields are kept while they are written in, and handed in together."""
    made: ft.Column = ft.use_memo(
        lambda: _fields(view, theme, act),
        [view, theme.palette, theme.text_size, theme.width, theme.scale, theme.language],
    )
    return made


def _fields(view: NameView, theme: Theme, act: Act) -> ft.Column:
    def save() -> None:
        booked = ticket.value if ticket else ""
        act(SaveName(label.value or "", owner.value or "", booked or ""))

    width = list_width(theme)
    label = written(view.label, theme, say("Label"), width, on_enter=save)
    owner = written(view.owner, theme, say("Owner's tag"), width, on_enter=save)
    ticket = None
    if view.ticket is not None:
        ticket = written(view.ticket, theme, say("Ticket of this visit"), width, on_enter=save)
    lines: list[ft.Control] = [label, owner, *([ticket] if ticket else [])]
    button = main_button(say("Save"), theme, save, mark="save-name")
    return ft.Column([*lines, button], spacing=GAP * 1.5)


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
