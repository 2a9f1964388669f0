"""Says at the end of a run what took longest: tests, set-ups, and each room together."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

import pytest

SHOWN = 10
WORTH_SAYING_S = 1.0
PHASES = {"setup": "set-up", "call": "test", "teardown": "clearing up"}


@dataclass(eq=False)  # pytest keeps its parts in sets
class Longest:
    """Adds up what each phase of each test took; a rerun counts on top."""

    took_s: Counter[tuple[str, str]] = field(default_factory=Counter)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note one phase of one test."""
        self.took_s[report.nodeid, report.when or "call"] += report.duration  # type: ignore[assignment]

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """Print it under the results, where there is anything to wait for."""
        if lines := self.lines():
            terminalreporter.section("what took longest")
            terminalreporter.write("".join(f"{line}\n" for line in lines))

    def lines(self) -> list[str]:
        """Seconds of each room, then the longest phases of single tests."""
        slow = [(s, *key) for key, s in self.took_s.most_common(SHOWN) if s >= WORTH_SAYING_S]
        if not slow:
            return []
        rooms: Counter[str] = Counter()
        for (test, _), seconds in self.took_s.items():
            rooms[_room(test)] += seconds  # type: ignore[assignment]
        each = ", ".join(f"{room} {seconds:.0f} s" for room, seconds in rooms.most_common())
        return [each, *(f"{s:6.1f} s  {PHASES[phase]}  {test}" for s, test, phase in slow)]


def _room(test: str) -> str:
    return test.split("::")[0].removeprefix("tests/").split("/")[0]
