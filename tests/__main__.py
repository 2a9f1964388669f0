"""`python -m tests`: sets up what is missing, then checks everything. Extra words go to pytest.

What is named, a file or a test, runs in one process; everything runs in several, side by side.
"""

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from shared.bootstrap import ROOT, ensure, need_library, need_path, need_program

POSTGRESQL = "usr/lib/postgresql/*/bin/initdb"
BROWSER = ROOT / "tests" / "browser"
SIDE_BY_SIDE = ("-n", "auto", "--maxschedchunk", "1")
"""As many workers as tests/conftest.py says; each takes the next test when it is done with one."""


def main(words: Sequence[str]) -> int:
    """The exit code of the whole check, or of what `words` ask of pytest."""
    ensure("tests", "hub")
    need_program("git", "git")
    need_program("chromium", "chromium")
    need_program("units", "units")
    need_program("pdftoppm", "poppler-utils")  # shows a printed sheet as a picture
    need_path(POSTGRESQL, "postgresql")
    need_library("libatomic.so.1", "libatomic1")  # for the node that drives the browser
    if reach_browser(words):
        from tests.browser_check import must_start

        must_start()
    side_by_side = () if named(words) else SIDE_BY_SIDE
    return subprocess.run(
        [sys.executable, "-m", "pytest", *side_by_side, *words], cwd=ROOT, check=False
    ).returncode


def named(words: Sequence[str]) -> list[Path]:
    """The files and folders that `words` name, with or without a test in them."""
    paths = (ROOT / word.partition("::")[0] for word in words if not word.startswith("-"))
    return [path for path in paths if path.exists()]


def reach_browser(words: Sequence[str]) -> bool:
    """Whether tests in a browser are among those that `words` ask for."""
    within = named(words) or [ROOT]
    return "not browser" not in words and any(
        BROWSER.is_relative_to(path) or path.is_relative_to(BROWSER) for path in within
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
