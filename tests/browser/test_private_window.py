"""Windows that keep nothing, or nothing beyond their end: the app runs, and says so."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from playwright.sync_api import Browser

from tests.browser.hand import begin, press, shows
from tests.browser.harness import (
    COMPILED_ONCE,
    FLAGS,
    PATIENCE_MS,
    PHONE,
    Server,
    kept,
    ready,
    visiting,
    wait_for_text,
)

REFUSE_ALL = {"profile": {"default_content_setting_values": {"cookies": 2}}}
"""Chromium's own preference against keeping anything of any site."""


def test_a_browser_that_refuses_to_keep_anything_says_so_on_the_first_screen(
    browser: Browser, app_server: Server, tmp_path: Path
) -> None:
    """No files, no database, no marks, no locks, no copy: home says that answers are lost, and a
    job can be walked all the same."""
    profile = tmp_path / "profile"
    (profile / "Default").mkdir(parents=True)
    (profile / "Default" / "Preferences").write_text(json.dumps(REFUSE_ALL))
    context = browser.browser_type.launch_persistent_context(
        profile,
        executable_path=shutil.which("chromium"),
        args=[*FLAGS, COMPILED_ONCE],
        viewport={"width": PHONE["width"], "height": PHONE["height"]},
    )
    try:
        context.set_default_timeout(PATIENCE_MS)
        page = context.new_page()
        page.goto(app_server.address)
        ready(page)
        wait_for_text(page, "Nothing can be kept: this browser refuses to store anything")
        page.wait_for_function("() => kept.state().refusal !== ''")
        assert page.evaluate("() => kept.state().offline") is False
        begin(page)
        shows(page, "asked")
    finally:
        context.close()


def test_a_private_window_keeps_to_its_end_and_warns(browser: Browser, app_server: Server) -> None:
    """Within one private window a job outlives a reload, and the page of the records says that the
    browser may clear them; the next private window begins with an empty bench."""
    with visiting(browser) as visit:
        page = visit.open(app_server.address).page
        kept(page)
        begin(page)
        visit.reload()
        shows(page, "asked")
        press(page, "back")
        shows(page, "records")
        press(page, "records")
        wait_for_text(page, "a private window clears them when it closes")
    with visiting(browser) as visit:
        page = visit.open(app_server.address).page
        shows(page, "new-job")
        assert not page.locator('[flt-semantics-identifier^="job-"]').count()
