"""A browser that cannot start is said once, in one line, before the tests; a failure is told."""

from __future__ import annotations

import gc
import sys

import pytest
from playwright.sync_api import Error

from tests import browser_check
from tests.browser.conftest import pytest_runtest_makereport

LACKING = """BrowserType.launch: Failed to launch the browser
Call log:
  - /usr/bin/chromium: error while loading shared libraries: libnss3.so: cannot open it
  - [pid=1] <gracefully close end>
"""


def what_is_said() -> str:
    """The one line with which the check leaves."""
    with pytest.raises(SystemExit) as left:
        browser_check.must_start()
    said = str(left.value)
    assert len(said.splitlines()) == 1
    return said


@pytest.mark.parametrize(
    ("told", "line"),
    [
        (LACKING, "- /usr/bin/chromium: error while loading shared libraries: libnss3.so: cannot"),
        ("Connection closed", "Connection closed"),
        ("", "it said nothing"),
    ],
)
def test_a_browser_that_does_not_start_is_said_in_one_line(
    monkeypatch: pytest.MonkeyPatch, told: str, line: str
) -> None:
    """The cause alone, whatever is told around it."""

    def refuse(*_: object) -> None:
        raise Error(told)

    monkeypatch.setattr(browser_check, "launch", refuse)
    assert what_is_said().startswith(f"The browser of the tests does not start: {line}")


def test_a_driver_that_does_not_start_is_said_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the driver's own program says of a library that it lacks; the browser is not tried."""
    lacks = "import sys; sys.exit('node: error while loading shared libraries: libatomic.so.1')"
    monkeypatch.setattr(browser_check, "DRIVER", (sys.executable, "-c", lacks))
    monkeypatch.setattr(browser_check, "launch", lambda *_: pytest.fail("it was tried"))
    assert what_is_said() == (
        "The driver of the tests' browser does not start: "
        "node: error while loading shared libraries: libatomic.so.1"
    )


def test_a_failure_is_told_with_the_collector_at_rest() -> None:
    """While the report is made nothing is collected; afterwards, whatever came of it, it is."""
    telling = pytest_runtest_makereport()
    next(telling)
    assert not gc.isenabled()
    telling.close()
    assert gc.isenabled()
