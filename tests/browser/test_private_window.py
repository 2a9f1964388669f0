"""Windows that keep nothing: the app runs, and says so."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from playwright.sync_api import Browser

from tests.browser.hand import begin, shows
from tests.browser.harness import (
    FLAGS,
    PATIENCE_MS,
    PHONE,
    Server,
    ready,
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
        args=list(FLAGS),
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
