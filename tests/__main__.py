"""`python -m tests`: sets up what is missing, then checks everything. Extra words go to pytest."""

import subprocess
import sys

from shared.bootstrap import ROOT, ensure, need_path, need_program

POSTGRESQL = "usr/lib/postgresql/*/bin/initdb"


def main() -> int:
    """The exit code of the whole check."""
    ensure("tests", "hub")
    need_program("chromium", "chromium")
    need_program("units", "units")
    need_path(POSTGRESQL, "postgresql")
    return subprocess.run([sys.executable, "-m", "pytest", *sys.argv[1:]], cwd=ROOT).returncode


if __name__ == "__main__":
    sys.exit(main())
