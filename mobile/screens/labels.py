"""Labels: printing them, finding an instrument by one, and one that nothing here is known by."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import Back, Command, SeeRecords
from logic.app.commands.instrument_commands import SeeInstruments
from logic.app.commands.label_commands import ScanLabel, SeeFindLabel, ShareLabels
from logic.app.views.label_views import FindLabelView, LabelsView, UnknownLabelView
from mobile.parts.basics import Act, hairline, main_button, plain_button, quiet, words
from mobile.parts.page import noted, page
from mobile.parts.theme import GAP, Theme
from shared.words import say


def labels_screen(view: LabelsView, theme: Theme, act: Act) -> ft.Control:
    """Of which instruments, on how many sheets and with which address; a button for each paper."""
    body: list[ft.Control] = [
        words(view.count, theme, size=theme.text_size * 1.25, bold=True),
        quiet(view.sheets, theme),
        words(view.address, theme, bold=True),
    ]
    if view.doubt:
        body.append(words(view.doubt, theme, bold=True, color=theme.palette.alarm))
    body += [noted(view.note, theme), hairline(theme), *(words(line, theme) for line in view.about)]
    foot: list[ft.Control] = []
    if view.ready:
        papers = ((say("PDF A4"), "A4"), (say("PDF Letter"), "Letter"))
        share = [
            plain_button(
                text, theme, _sender(act, ShareLabels(paper)), mark=f"labels-{paper}", expand=1
            )
            for text, paper in papers
        ]
        foot.append(ft.Row(share, spacing=GAP))
    return page(theme, say("Print labels"), body, foot=foot, on_back=_sender(act, Back()))


def find_label_screen(view: FindLabelView, theme: Theme, act: Act) -> ft.Control:
    """How, everywhere and here; the photo where this browser reads one."""
    body = [*(words(line, theme) for line in view.about), noted(view.note, theme)]
    foot: list[ft.Control] = []
    if view.can_scan:
        scan = say("Take a photo of the label")
        foot.append(main_button(scan, theme, _sender(act, ScanLabel()), mark="scan"))
    return page(theme, say("Scan a label"), body, foot=foot, on_back=_sender(act, Back()))


def unknown_label_screen(view: UnknownLabelView, theme: Theme, act: Act) -> ft.Control:
    """What happened, what is safe, and the ways on."""
    said = words(view.title, theme, size=theme.text_size * 1.15, bold=True)
    ways: tuple[tuple[str, str, Command], ...] = (
        (say("Another label"), "find-label", SeeFindLabel()),
        (say("Records"), "records", SeeRecords()),
    )
    beside: list[ft.Control] = [
        plain_button(text, theme, _sender(act, command), mark=mark, expand=1)
        for text, mark, command in ways
    ]
    find = main_button(
        say("Find it in the list"), theme, _sender(act, SeeInstruments()), mark="instruments"
    )
    foot: list[ft.Control] = [ft.Row(beside, spacing=GAP), find]
    if theme.landscape and theme.scale <= 1:  # there two rows would cover what is said
        find.expand = 1
        foot = [ft.Row([*beside, find], spacing=GAP)]
    body: list[ft.Control] = [said, *(words(line, theme) for line in view.about)]
    return page(theme, say("Unknown label"), body, foot=foot, on_back=_sender(act, Back()))


def _sender(act: Act, command: Command) -> Callable[[], None]:
    return lambda: act(command)
