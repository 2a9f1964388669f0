"""A process killed while it records has kept everything that it said was kept."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from logic.history import FileDirectory, History
from logic.history.checking import check_journal
from shared.bootstrap import ROOT

pytestmark = pytest.mark.programs

ROUNDS = 3
WORK = """
import sys
from pathlib import Path
from logic.history import FileDirectory, History
from shared.events import Kind
history = History.open(FileDirectory(Path(sys.argv[1])))
history.journal.segment_bytes = 20_000
start = history.setting("count", 0)
for number in range(start + 1, start + 100_000):
    history.record(Kind.SETTING_CHANGED, {"name": "count", "value": number})
    print(number, flush=True)
    if number % 40 == 0:
        history.save_snapshot()
"""


def test_a_killed_process_has_lost_nothing_confirmed(tmp_path: Path) -> None:
    """SIGKILL in the middle, again and again on the same folder: the last confirmed is there, the
    device keeps its name, and nothing is found wrong with the folder."""
    told = 0
    for _ in range(ROUNDS):
        words = [sys.executable, "-c", WORK, str(tmp_path)]
        with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout
            for line in process.stdout:
                told = int(line)
                if told % 130 == 129:
                    process.kill()
                    break
            told = max([told, *map(int, process.stdout.read().split()[:-1])])
        directory = FileDirectory(tmp_path)
        history = History.open(directory)
        assert history.setting("count", 0) >= told > 0
        assert not history.report.damaged_pieces and not history.report.new_identity
        history.close()
        files = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
        assert check_journal(files).sound, check_journal(files).wrong
