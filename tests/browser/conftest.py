"""What browser tests share: one build of each site, one Chromium, visits with nothing on record."""

from __future__ import annotations

import gc
from collections.abc import Generator, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, sync_playwright

from mobile.publish.build import NUTWRIGHT
from tests.browser.harness import (
    COMPILED_ONCE,
    PLAIN,
    Server,
    Visit,
    kept,
    launch,
    returning,
    serving,
    visiting,
)
from tests.once import site


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


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Tell of a failure with Python's collector at rest.

    What the collector ends in the middle, such as an answer of the driver's that nobody fetched,
    may tell of itself with its source parsed too; of one parsing within another CPython 3.11 makes
    a SystemError (AST constructor recursion depth mismatch) that ends the whole run.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()


# Package scope, not session: while Playwright is up no other event loop may run in this thread.
@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """One Chromium for all of these tests; each visit gets its own empty profile in it."""
    with sync_playwright() as playwright:
        chromium = launch(playwright, COMPILED_ONCE)
        yield chromium
        chromium.close()


@pytest.fixture(scope="package")
def app_site(shared_folder: Path) -> Path:
    """Nutwright, built once for all workers."""
    return site(shared_folder, NUTWRIGHT)


@pytest.fixture(scope="package")
def plain_site(shared_folder: Path) -> Path:
    """The plain page, built once by the same publisher."""
    return site(shared_folder, PLAIN)


@pytest.fixture(scope="package")
def lasting_server(app_site: Path) -> Iterator[Server]:
    """Nutwright at one address for all tests whose phone returns to it."""
    with serving(app_site) as server:
        yield server


@pytest.fixture(scope="package")
def known_phone(browser: Browser, lasting_server: Server) -> Iterator[BrowserContext]:
    """A phone that keeps a copy of the app."""
    with visiting(browser) as first:
        kept(first.open(lasting_server.address).page)
        first.page.close()
        yield first.context


@pytest.fixture
def app_server(request: pytest.FixtureRequest) -> Iterator[Server]:
    """Nutwright, served until the test kills it or ends."""
    if request.node.get_closest_marker("returning"):
        server: Server = request.getfixturevalue("lasting_server")
        yield server if server.process else server.start()
    else:
        with serving(request.getfixturevalue("app_site")) as server:
            yield server


@pytest.fixture
def visit(request: pytest.FixtureRequest, browser: Browser) -> Iterator[Visit]:
    """A phone-sized visit: the first of a fresh phone, or of one that returns to an empty bench."""
    if request.node.get_closest_marker("returning"):
        server: Server = request.getfixturevalue("app_server")
        phone: BrowserContext = request.getfixturevalue("known_phone")
        with returning(phone, server.address) as again:
            yield again
    else:
        with visiting(browser) as fresh:
            yield fresh
