"""Keeps the desk told how the app stands on this device: installed or not, and what is newer."""

from __future__ import annotations

from logic.app.session.route import Follows
from mobile.device.page import About, Kept
from mobile.start.tab import Tab


async def follow_standing(tab: Tab) -> None:
    """Learn it now, and whenever the page tells."""

    def shown() -> None:
        if tab.app and tab.app.follows(Follows.INSTALLATION):
            tab.shell.start(_refresh)

    async def _refresh() -> None:
        tab.shell.refresh()

    def about(told: About) -> None:
        tab.standing.can_install = told.installable and not told.installed
        by_hand = told.share_menu and not told.installable
        tab.standing.by_share_menu = by_hand and not told.installed
        shown()

    def kept(told: Kept) -> None:
        tab.standing.update_ready = told.update
        tab.standing.refused = told.refusal if told.offline else ""
        shown()

    tab.device.on("about", about)
    tab.device.on("kept", kept)
    about(await tab.device.about())
    kept(await tab.device.kept())
