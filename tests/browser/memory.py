"""What the app holds while it runs: the page's heap, the worker's, and Python's objects in it.

The built site says nothing of its insides, so Chromium's debugger is asked: the worker's functions
lead to the Python that they were made around.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from typing import Any

from playwright.sync_api import CDPSession, Page, Worker

from tests.browser.harness import PATIENCE_MS

KEEP = "function () { self.python_inside = this; }"


@dataclass(frozen=True)
class Held:
    """What is held after everything that can be collected was."""

    page_bytes: int
    """The page's script heap, its documents and its buffers, the drawing engine's among them."""
    worker_bytes: int
    """The worker's script heap and buffers."""
    python_bytes: int
    """Python's memory, which grows and never shrinks."""
    objects: int
    """Python's collectable objects."""
    nodes: int
    """Nodes of the page's document."""
    listeners: int
    """Listeners on the page."""

    @property
    def bytes(self) -> int:
        """Everything together."""
        return self.page_bytes + self.worker_bytes + self.python_bytes


class Inside:
    """A way into one page of the app and its Python worker."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self._cdp: CDPSession = page.context.new_cdp_session(page)
        self._answers: dict[int, dict[str, Any]] = {}
        self._session = ""
        self._asked = 0
        self._cdp.on("Target.attachedToTarget", self._attached)
        self._cdp.on("Target.receivedMessageFromTarget", self._received)
        how = {"autoAttach": True, "waitForDebuggerOnStart": False, "flatten": False}
        self._cdp.send("Target.setAutoAttach", how)
        self._cdp.send("Performance.enable")
        self._reach_python()

    @property
    def worker(self) -> Worker:
        """The Python worker."""
        return self.page.workers[0]

    def python(self, code: str) -> Any:
        """What `code` comes to in the app's own Python."""
        return self.worker.evaluate("(code) => python_inside.runPython(code)", code)

    def held(self) -> Held:
        """Collect what can be collected and count the rest."""
        objects = int(self.python(COUNT))
        self._cdp.send("HeapProfiler.collectGarbage")
        self._ask("HeapProfiler.collectGarbage")
        metrics = self._cdp.send("Performance.getMetrics")["metrics"]
        counted = {metric["name"]: int(metric["value"]) for metric in metrics}
        return Held(
            page_bytes=_in_use(self._cdp.send("Runtime.getHeapUsage")),
            worker_bytes=_in_use(self._ask("Runtime.getHeapUsage")),
            python_bytes=self.worker.evaluate("() => python_inside._module.HEAP8.length"),
            objects=objects,
            nodes=counted["Nodes"],
            listeners=counted["JSEventListeners"],
        )

    def lifecycle(self, state: str) -> None:
        """Send the page to the background ("frozen") or bring it back ("active")."""
        self._cdp.send("Page.setWebLifecycleState", {"state": state})

    def _attached(self, event: dict[str, Any]) -> None:
        if event["targetInfo"]["type"] == "worker":
            self._session = event["sessionId"]

    def _received(self, event: dict[str, Any]) -> None:
        answer = json.loads(event["message"])
        self._answers[answer.get("id", 0)] = answer

    def _ask(self, method: str, **parameters: object) -> dict[str, Any]:
        """Ask the worker's own debugger."""
        self._wait(lambda: bool(self._session))
        self._asked = asked = self._asked + 1
        message = json.dumps({"id": asked, "method": method, "params": parameters})
        self._cdp.send(
            "Target.sendMessageToTarget", {"sessionId": self._session, "message": message}
        )
        self._wait(lambda: asked in self._answers)
        answer: dict[str, Any] = self._answers.pop(asked)["result"]
        return answer

    def _wait(self, done: Any) -> None:
        end = monotonic() + PATIENCE_MS / 1000
        while not done():
            assert monotonic() < end, "the worker's debugger does not answer"
            self.page.wait_for_timeout(10)

    def _reach_python(self) -> None:
        """Leave Python where `python` finds it: the function that unpacks the rest was made around
        it, and the one that takes messages around what Python reaches."""
        takes = self._ask("Runtime.evaluate", expression="self.onmessage")["result"]["objectId"]
        rest = self._properties(self._around(takes, "bench_js"))["rest"]
        self._ask(
            "Runtime.callFunctionOn",
            objectId=self._around(rest, "pyodide"),
            functionDeclaration=KEEP,
        )

    def _around(self, function: str, name: str) -> str:
        """The object called `name` that a function was made around."""
        inner = self._ask("Runtime.getProperties", objectId=function, ownProperties=True)
        (scopes,) = (each for each in inner["internalProperties"] if each["name"] == "[[Scopes]]")
        for scope in self._properties(scopes["value"]["objectId"]).values():
            found = self._properties(scope)
            if name in found:
                return found[name]
        raise AssertionError(f"no {name} around the worker's function")

    def _properties(self, of: str) -> dict[str, str]:
        """The objects that an object holds, by name."""
        held = self._ask("Runtime.getProperties", objectId=of, ownProperties=True)["result"]
        values = ((each["name"], each.get("value", {})) for each in held)
        return {name: value["objectId"] for name, value in values if "objectId" in value}


COUNT = """
import gc
gc.collect()
len(gc.get_objects())
"""


def _in_use(usage: dict[str, Any]) -> int:
    return sum(
        int(usage[part]) for part in ("usedSize", "embedderHeapUsedSize", "backingStorageSize")
    )


def resident_bytes(page: Page) -> int:
    """What the operating system keeps in memory for the process that draws `page` (Linux)."""
    browser = page.context.browser
    assert browser
    processes = browser.new_browser_cdp_session().send("SystemInfo.getProcessInfo")["processInfo"]
    drawing = max((p for p in processes if p["type"] == "renderer"), key=lambda p: p["cpuTime"])
    status = Path(f"/proc/{drawing['id']}/status").read_text(encoding="utf-8")
    (line,) = (line for line in status.splitlines() if line.startswith("VmRSS:"))
    return int(line.split()[1]) * 1024
