"""What the device does for the desk: hand files out and in, install, update."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import datetime
from typing import Any

from logic.desk import commands
from logic.desk.commands import Command
from logic.desk.desk import Desk
from mobile.device.page import Answer, Attachment, Page
from shared.errors import NutwrightError

ACCEPTED = ".txt,.nutwright,text/plain"


class Errands:
    """Runs a command that needs the device; what came of it is a note on the desk."""

    def __init__(self, device: Page, desk: Desk) -> None:
        self._device = device
        self._desk = desk
        self._errands: dict[type, Callable[[Any], Awaitable[str]]] = {
            commands.ShareHistory: self._share_history,
            commands.ShareReadings: self._share_readings,
            commands.ShareSheet: self._share_sheet,
            commands.ShareNut: self._share_nut,
            commands.TakeInFile: self._take_in,
            commands.UseUpdate: self._update,
            commands.Install: self._install,
        }

    def takes(self, command: Command) -> bool:
        """Whether this is an errand for the device."""
        return type(command) in self._errands

    async def run(self, command: Command) -> None:
        """Do it, and note what came of it."""
        try:
            self._desk.note = await self._errands[type(command)](command)
        except NutwrightError as error:
            self._desk.note = str(error)

    async def _share_history(self, _: Command) -> str:
        return await self._hand_out("history", "txt", "text/plain", self._desk.history.export())

    async def _share_readings(self, _: Command) -> str:
        from logic.history.spreadsheet import readings_csv  # no first screen needs it

        return await self._hand_out("readings", "csv", "text/csv", readings_csv(self._desk.history))

    async def _share_sheet(self, command: commands.ShareSheet) -> str:
        from logic.desk.handing_over import sheet_as_pdf, sheet_as_text  # nor this
        from logic.drawing.page import Paper

        floor = self._desk.floor
        name = "bench-record" if floor.for_bench else "set-up"
        if not command.paper:
            return await self._hand_out(name, "txt", "text/plain", sheet_as_text(floor))
        content = sheet_as_pdf(floor, Paper(command.paper))
        return await self._hand_out(name, "pdf", "application/pdf", content)

    async def _share_nut(self, command: commands.ShareNut) -> str:
        from logic.desk.laying_out import nut_as_pdf, nut_as_svg
        from logic.drawing.page import Paper

        floor = self._desk.floor
        asked = (floor.work, floor.wishes, floor.wording)
        if command.form == "SVG":
            return await self._hand_out("new-nut", "svg", "image/svg+xml", nut_as_svg(*asked))
        content = nut_as_pdf(*asked, Paper(command.form))
        return await self._hand_out("new-nut", "pdf", "application/pdf", content)

    async def _hand_out(self, name: str, ending: str, kind: str, content: str | bytes) -> str:
        """By the share sheet where there is one, else as a download."""
        made = datetime.fromtimestamp(self._desk.history.now_ms() / 1000)
        file = Attachment(f"nutwright-{name}-{made:%Y-%m-%d-%H%M}.{ending}", kind, content)
        shared = await self._device.share(title="Nutwright", files=[file])
        if shared.ok:
            return f"{file.name} was handed on."
        if shared.value == "cancelled":
            return "Nothing was handed on."
        return _said(await self._device.download(file), f"{file.name} is among the downloads.")

    async def _take_in(self, _: Command) -> str:
        picked = await self._device.pick(ACCEPTED)
        if not picked.ok:
            return _said(picked, "")
        if picked.value is None:
            return "No file was chosen."
        report = self._desk.history.merge(picked.value["bytes"])
        await self._desk.history.settled()
        self._desk.floor.look_again()
        return f"{picked.value['name']}: {' '.join(report.lines())}"

    async def _update(self, _: Command) -> str:
        return _said(await self._device.apply_update(), "The newer Nutwright takes over.")

    async def _install(self, _: Command) -> str:
        return _said(await self._device.install(), "Installed.")


def _said(answer: Answer, done: str) -> str:
    return done if answer.ok else f"That did not work here: {answer.why}."
