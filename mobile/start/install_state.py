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

    def about(facts: About) -> None:
        state.can_install = facts.installable and not facts.installed
        by_hand = facts.share_menu and not facts.installable
        state.by_share_menu = by_hand and not facts.installed
        changed()

    def kept(copy: Kept) -> None:
        state.update_ready = copy.update
        state.refused = copy.refusal if copy.offline else ""
        changed()

    page.on("about", about)
    page.on("kept", kept)
    about(await page.about())
    kept(await page.kept())
