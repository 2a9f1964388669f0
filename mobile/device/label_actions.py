"""What the device does with labels: hands their sheets out, and reads one off a photo."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from logic.app.app import App
from logic.app.commands.label_commands import OpenLabel, SeeFindLabel, ShareLabels
from mobile.device.page import DevicePage
from shared.label import code_in_link
from shared.words import say

LONG_LIST = 24
"""Labels that take long enough to say how far they are: a full sheet (common practice, no
source)."""
HandOut = Callable[[str, str, str, bytes], Awaitable[str]]
"""Hands a file out: its name, its ending, its type and what it holds."""


class LabelActions:
    """Carries the commands out; each says what came of it."""

    def __init__(
        self, device: DevicePage, app: App, refresh: Callable[[], None], hand_out: HandOut
    ) -> None:
        self._device, self._app = device, app
        self._refresh = refresh
        self._hand_out = hand_out

    async def share(self, command: ShareLabels) -> str:
        """Draw the sheets, one at a time so that a touch or a frame is let through, and hand them
        out."""
        from logic.app.presenters.label_words import labels_of  # no first screen needs it,
        from logic.drawing.label_grid import label_grid
        from logic.drawing.labels import label_pages  # nor what draws codes
        from logic.drawing.page import Paper
        from logic.drawing.pdf import pdf

        trade, paper = self._app.trade, Paper(command.paper)
        chosen, address = self._app.session.transient.labels_of, self._app.device.address
        labels = labels_of(chosen, self._app.history, address)
        if not labels:
            return say("There is no instrument to print a label for.")
        of, pages = label_grid(paper, trade.labels).sheets(len(labels)), []
        for page in label_pages(labels, paper, trade.labels, trade.layout.check_bar_mm):
            pages.append(page)
            if len(labels) > LONG_LIST:
                self._app.tell(say("Drawing: sheet {done} of {of}.", done=len(pages), of=of))
                self._refresh()
            await asyncio.sleep(0)
        return await self._hand_out("labels", "pdf", "application/pdf", pdf(pages))

    async def scan(self, _: object) -> str:
        """Check the instrument whose label is in the photo; where it holds none, a word, on the
        screen that says how else it is found."""
        self._app.do(SeeFindLabel())
        read = await self._device.scan()
        if not read.ok:
            return say("That did not work here: {why}.", why=say(read.why))
        if read.value is None:
            return say("No photo was taken.")
        code = code_in_link(str(read.value))
        if not code:
            return say("That square code is no label of an instrument.")
        self._app.do(OpenLabel(code))
        return ""
