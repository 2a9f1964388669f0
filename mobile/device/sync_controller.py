"""Keeps this tab in step with the hub of its bench: wakes the agent, shows what came of it.

Imported once the first screen is up. Whatever goes wrong here, recording goes on.
"""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Callable
from dataclasses import dataclass, field

from logic.app.app import App
from logic.app.commands import record_commands
from logic.app.commands.commands import Command
from logic.app.presenters.hub import code_in, joining_failed
from logic.app.session.copies import nudge
from logic.app.session.device import HubConnection
from logic.app.session.route import Follows
from logic.app.views.views import HomeView
from logic.history.progress import yield_to_event_loop
from logic.history.storage.store import Directory
from logic.sync.agent import AgentEnvironment, Connect, Phase, Status, SyncAgent, Wake
from logic.sync.pairing import PairingFile
from logic.sync.transport import no_hub
from mobile.device.device_actions import RECORDS_NOTE, DeviceActions
from mobile.device.page import DevicePage
from mobile.shell import Shell
from shared.errors import HubAway, HubRefused, NutwrightError
from shared.words import say

LONGEST_LABEL = 64


@dataclass
class SyncController:
    """Meets the hub for one tab, from when the first screen is up until the lock is lost."""

    app: App
    directory: Directory
    shell: Shell
    device: DevicePage
    actions: DeviceActions
    around: AgentEnvironment
    address: str = ""
    """Where a hub would be: where the app came from."""
    _task: asyncio.Task[None] | None = None
    _unsubscribe: list[Callable[[], None]] = field(default_factory=list)
    _own_entries: int = 0
    """Entries that this device had recorded when it was last asked."""
    _shown_of_others: object = None
    """What had come in from others when the screen was last drawn anew."""
    _draws_soon: bool = False

    def __post_init__(self) -> None:
        history = self.app.history
        self.agent = SyncAgent(history, PairingFile(self.directory), self.around, self._changed)

    async def begin(self) -> None:
        """Find out whether this device has a hub, see to what is due, and meet from now on."""
        await self.agent.load()
        self.app.connect(HubConnection(self.agent, self.address))
        self._shown_of_others = self._others()
        await self._follow_own()  # something may have been recorded while the app still opened
        self.actions.connect(self)
        self._unsubscribe = [
            self.shell.after_saving(self._send_what_was_saved),
            self.device.on("visible", self._returned),
            self.device.on("online", self._online),
            self.device.on("link", lambda _: self.shell.run_task(self._follow_link)),
        ]
        self._task = asyncio.ensure_future(self.agent.run())
        self.shell.run_task(self._learn_to_scan)
        await self.see_to_what_is_due()
        await self._follow_link()

    async def _learn_to_scan(self) -> None:
        """Learn whether this device reads square pictures; whoever waits at a screen that offers it
        sees it then. Nothing waits for the answer: a page may give it late, or never."""
        has = (await self.device.comforts()).value or {}
        self.app.device.scans = bool(has.get("scan"))
        self.shell.refresh()

    async def end(self) -> None:
        """Meet no more: another tab writes, or this one closes."""
        for unsubscribe in self._unsubscribe:
            unsubscribe()
        task, self._task, self._unsubscribe = self._task, None, []
        if task:
            task.cancel()
            await asyncio.gather(task, return_exceptions=True)

    # --- quiet moments ---

    async def see_to_what_is_due(self) -> None:
        """Where nobody is at work: make gone what is due to be gone, and ask for a copy."""
        if not isinstance(self.shell.view, HomeView):
            return
        try:
            await self._purge()
        except NutwrightError as error:
            self.app.tell(str(error))
        self._remind()

    async def _purge(self) -> None:
        if await self.app.history.purge_by_steps(yield_to_event_loop):
            self.app.history_changed()

    def _remind(self) -> None:
        joined = self.agent.pairing is not None
        app = self.app
        app.remind(lambda: nudge(app.history, app.trade, joined))
        if isinstance(self.shell.view, HomeView):
            self.shell.refresh()

    async def _follow_link(self) -> None:
        """Ask once about the joining code that a link brought."""
        link = await self.device.link()
        if link.ok and link.value:
            self.shell.act(record_commands.GiveCode(str(link.value)))

    # --- what wakes the agent ---

    async def _send_what_was_saved(self) -> None:
        """What was recorded and is durable goes to the hub in a moment."""
        if await self._follow_own() and self.agent.pairing:
            self.agent.wake(Wake.SAVE)

    async def _follow_own(self) -> bool:
        """Whether this device recorded anything since it was last asked.

        The first of all is marked: from now on it shows when the browser clears the records.
        """
        before, self._own_entries = self._own_entries, self._written()
        if self._own_entries and not before:
            await self.device.set_mark(RECORDS_NOTE, self.app.history.bench)
        return self._own_entries != before

    def _returned(self, visible: bool) -> None:
        if visible:
            self.agent.wake(Wake.RETURN)
            self.shell.run_task(self.see_to_what_is_due)

    def _online(self, online: bool) -> None:
        if online:
            self.agent.wake(Wake.ONLINE)

    def _written(self) -> int:
        return self.app.history.vector.get(self.app.history.device, 0)

    # --- what is shown of it ---

    def _changed(self, _: Status) -> None:
        """Draw anew where it shows; called from anywhere, so it is done in a task of the page."""
        changed = self.app.follows(Follows.HUB) or self._others() != self._shown_of_others
        if changed and not self._draws_soon:
            self._draws_soon = True
            self.shell.run_task(self._show)

    async def _show(self) -> None:
        self._draws_soon = False
        others = self._others()
        if others != self._shown_of_others:
            self._shown_of_others = others
            self.app.history_changed()
        self.shell.refresh()

    def _others(self) -> object:
        """Changes when anything came in, was erased, or gave way."""
        history = self.app.history
        vector = {name: last for name, last in history.vector.items() if name != history.device}
        return vector, id(history), history.rewrites

    # --- what the device does for the app ---

    def copy_handed_out(self) -> None:
        """There is a fresh copy of the records: the first screen need not ask for one."""
        self._remind()

    async def do(self, command: Command) -> str:
        """Join, meet or leave; what came of it, in words."""
        match command:
            case record_commands.ScanCode():
                return await self._scan()
            case record_commands.JoinHub(label=label):
                return await self._join(label)
            case record_commands.LeaveHub():
                return await self._leave()
        self.agent.wake(Wake.BY_HAND)
        return ""

    async def _scan(self) -> str:
        """Ask whether to join with the code of a picture; a word where there is none."""
        read = await self.device.scan()
        if not read.ok:
            return say("That did not work here: {why}.", why=say(read.why))
        if read.value is None:
            return say("No photo was taken.")
        code, trouble = code_in(str(read.value), self.address)
        if code:
            self.app.do(record_commands.GiveCode(code))
        return trouble

    async def _join(self, label: str) -> str:
        label = " ".join(label.split())[:LONGEST_LABEL] or say("Bench phone")
        typed = self.app.session.transient
        try:
            pairing = await self.agent.join(self.address, typed.joining_code, label)
        except HubRefused as error:
            return joining_failed(error.code) or str(error)
        except HubAway as error:
            return self._no_answer(error)
        typed.joining_code = ""
        self.app.history_changed()
        self.app.do(record_commands.SeeHub())
        self._remind()
        return say("This device belongs to the bench {bench} now.", bench=pairing.bench_name)

    def _no_answer(self, error: HubAway) -> str:
        if error.what == no_hub().what:
            return say(
                "No hub answers at {address}, where this app came from. Open the app at the "
                "hub's own address.",
                address=self.address,
            )
        return str(error)

    async def _leave(self) -> str:
        belonged = self.agent.status.phase is not Phase.SHUT_OUT
        await self.agent.leave()
        self.app.do(record_commands.SeeHub())
        self._remind()
        warning = self.agent.status.message if belonged else ""
        return warning or say("This device has left the hub.")


async def begin(
    app: App, directory: Directory, shell: Shell, device: DevicePage, actions: DeviceActions
) -> SyncController:
    """Keep this tab in step from now on; where that cannot begin, the app says why."""
    address, connect = hub_connection()
    around = AgentEnvironment(connect)
    controller = SyncController(app, directory, shell, device, actions, around, address)
    try:
        await controller.begin()
    except (NutwrightError, OSError) as error:
        app.tell(str(error))
    return controller


def hub_connection() -> tuple[str, Connect]:
    """Where this app came from, and how to ask there."""
    if sys.platform == "emscripten":
        from mobile.device.fetch import FetchTransport, own_address

        return own_address(), FetchTransport
    from logic.sync.http_transport import HttpTransport

    return "", HttpTransport
