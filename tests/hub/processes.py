"""Hubs as processes of their own, to be stopped, killed and started again."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path

from shared.bootstrap import ROOT

PATIENCE_S = 60.0
"""How long a hub may take to answer on a machine that does other work at the same time."""
_DIES_BEFORE_REPLY = """
import os, sys
from logic.sync.hub import exchange
from logic.__main__ import main
answer, left = exchange.answer, [int(os.environ["DIE_AFTER"])]
def then_die(*given):
    answered = answer(*given)
    if given[2].events:
        left[0] -= 1
        if left[0] <= 0:
            os.kill(os.getpid(), 9)
    return answered
exchange.answer = then_die
from logic.sync.hub import app
app.answer = then_die
sys.exit(main(sys.argv[1:]))
"""

_HOARDS = """
import sys
from logic.sync.hub import app
from logic.__main__ import main
answer, hoard = app.answer, []
def then_hoard(*given):
    hoard.extend(event | {} for event in given[2].events)
    return answer(*given)
app.answer = then_hoard
sys.exit(main(sys.argv[1:]))
"""


def free_port() -> int:
    """A port that nobody listens at."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


def hub_command(*words: str) -> str:
    """What the command `hub` prints."""
    done = subprocess.run(
        [sys.executable, "-m", "logic", "hub", *words], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@dataclass
class HubProcess:
    """`python -m logic hub`, listening on this machine only."""

    store: str
    words: tuple[str, ...] = ()
    die_after: int = 0
    """Kill the process between commit and reply of the n-th message with events; 0 for never."""
    hoards: bool = False
    """Keep every event that comes in memory: a mistake that tests must find."""
    port: int = field(default_factory=free_port)
    log: Path | None = None
    scheme: str = "http"

    @property
    def address(self) -> str:
        """Where it listens."""
        return f"{self.scheme}://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Start it and wait until it answers."""
        mistaken = _DIES_BEFORE_REPLY if self.die_after else _HOARDS if self.hoards else ""
        program = ["-c", mistaken] if mistaken else ["-m", "logic"]
        where = ("hub", "--store", self.store, "--port", str(self.port))
        with open(self.log or os.devnull, "ab") as log:
            self.process = subprocess.Popen(
                [sys.executable, *program, *where, *self.words],
                cwd=ROOT,
                env={**os.environ, "DIE_AFTER": str(self.die_after)},
                stdout=subprocess.DEVNULL,
                stderr=log,
            )
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            if self.answers():
                return
            assert self.process.poll() is None, "the hub did not start"
            time.sleep(0.05)
        raise AssertionError("the hub does not answer")

    def answers(self) -> bool:
        """Whether it is ready."""
        try:
            with socket.create_connection(("127.0.0.1", self.port), timeout=1):
                pass
            if self.scheme == "https":
                return True
            with urllib.request.urlopen(f"{self.address}/ready", timeout=5) as answer:
                return bool(answer.status == 200)
        except OSError:
            return False

    def resident_mb(self) -> float:
        """Memory that it holds now."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(status.partition("VmRSS:")[2].split()[0]) / 1024

    def kill(self) -> None:
        """End it as a power cut would."""
        self.process.kill()
        self.process.wait()

    def stop(self) -> int:
        """Ask it to stop; its exit code."""
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(20)
