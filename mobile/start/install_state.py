"""Follows how the app stands on this device: installed or not, and what is newer."""

from __future__ import annotations

from collections.abc import Callable

from logic.app.session.device import InstallState
from mobile.device.page import About, DevicePage, Kept


async def follow_install_state(
    page: DevicePage, state: InstallState, changed: Callable[[], None]
) -> None:
    """Write into `state` what the page tells, now and whenever it tells; `changed` is called each
    time."""

    def about(told: About) -> None:
        state.can_install = told.installable and not told.installed
        by_hand = told.share_menu and not told.installable
        state.by_share_menu = by_hand and not told.installed
        changed()

    def kept(told: Kept) -> None:
        state.update_ready = told.update
        state.refused = told.refusal if told.offline else ""
        changed()

    page.on("about", about)
    page.on("kept", kept)
    about(await page.about())
    kept(await page.kept())
