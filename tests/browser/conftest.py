"""What browser tests share: one build of each site, one Chromium, fresh visits."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from mobile.publish.build import NUTWRIGHT, build
from tests.browser.harness import PLAIN, Server, Visit, launch, serving, visiting


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark everything in this folder as driving a browser.

    A shared machine may leave a browser without a processor for longer than a test waits: such a
    test is run once more, with a fresh profile and server, and the report counts it as a rerun.
    What fails twice has failed.
    """
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)
            item.add_marker(pytest.mark.flaky(reruns=1))


# Package scope, not session: while Playwright is up no other event loop may run in this thread.
@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """One Chromium for all of these tests; each visit gets its own empty profile in it."""
    with sync_playwright() as playwright:
        chromium = launch(playwright)
        yield chromium
        chromium.close()


@pytest.fixture(scope="package")
def app_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Nutwright, built once."""
    site = tmp_path_factory.mktemp("app") / "site"
    build(NUTWRIGHT, site)
    return site


@pytest.fixture(scope="package")
def plain_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The plain page, built once by the same publisher."""
    site = tmp_path_factory.mktemp("plain") / "site"
    build(PLAIN, site)
    return site


@pytest.fixture
def app_server(app_site: Path) -> Iterator[Server]:
    """Nutwright, served until the test kills it or ends."""
    with serving(app_site) as server:
        yield server


@pytest.fixture
def visit(browser: Browser) -> Iterator[Visit]:
    """A fresh phone-sized visit."""
    with visiting(browser) as fresh:
        yield fresh
