"""Asking the page from Python: every answer finds its question, every event its listener."""

from __future__ import annotations

import asyncio
import base64
import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mobile.device.page import (
    REASONS,
    About,
    Attachment,
    DevicePage,
    Kept,
    NoPage,
    State,
    this_page,
)
from shared.bootstrap import ROOT


@dataclass
class HeldWire:
    """A wire whose page answers only when the test says so."""

    sent: list[dict[str, Any]] = field(default_factory=list)
    take: Callable[[str], None] = field(default=lambda text: None)

    def post(self, text: str) -> None:
        """Remember the question."""
        self.sent.append(json.loads(text))

    def listen(self, take: Callable[[str], None]) -> None:
        """Remember who hears the answers."""
        self.take = take

    def answer(self, number: int, state: str, value: object = None, why: str = "") -> None:
        """Say what came of question `number`."""
        self.take(json.dumps({"id": number, "state": state, "value": value, "why": why}))

    def tell(self, event: str, value: object) -> None:
        """Say something unasked."""
        self.take(json.dumps({"event": event, "value": value}))


@settings(deadline=None)
@given(order=st.permutations(range(1, 6)))
def test_answers_in_any_order_find_their_questions(order: list[int]) -> None:
    """Five questions at once, answered in any order: each gets its own answer."""

    async def run() -> list[object]:
        wire = HeldWire()
        page = DevicePage(wire)
        asked = [asyncio.ensure_future(page.ask("mark", key=str(n))) for n in range(1, 6)]
        await asyncio.sleep(0)
        for number in order:
            wire.answer(number, "ok", f"value {number}")
        return [answer.value for answer in await asyncio.gather(*asked)]

    assert asyncio.run(run()) == [f"value {n}" for n in range(1, 6)]


async def test_a_refusal_says_why() -> None:
    """Refused and absent are distinguished, each with its reason."""
    wire = HeldWire()
    page = DevicePage(wire)
    asked = asyncio.ensure_future(page.persist())
    await asyncio.sleep(0)
    wire.answer(1, "refused", None, "the browser may clear the records")
    answer = await asked
    assert (answer.ok, answer.state) == (False, State.REFUSED)
    assert "clear the records" in answer.why


async def test_an_answer_nobody_waits_for_is_let_go() -> None:
    """A late answer to a question that was given up changes nothing."""
    wire = HeldWire()
    page = DevicePage(wire)
    asked = asyncio.ensure_future(page.keep_awake(True))
    await asyncio.sleep(0)
    asked.cancel()
    with pytest.raises(asyncio.CancelledError):
        await asked
    wire.answer(1, "ok", True)


def test_events_reach_their_listeners_until_they_are_removed() -> None:
    """A listener hears its own event, typed, and nothing after it was taken off."""
    wire = HeldWire()
    page = DevicePage(wire)
    heard: list[object] = []
    stop = page.on("kept", heard.append)
    page.on("visible", heard.append)
    wire.tell("kept", {"build": "a1", "update": True, "new in a later page": 1})
    wire.tell("visible", False)
    stop()
    wire.tell("kept", {})
    assert heard == [Kept(build="a1", update=True), False]


async def test_without_a_page_everything_is_absent() -> None:
    """On a desktop each question is answered at once, with the plainest device assumed."""
    page = this_page()
    assert isinstance(page.channel, NoPage)
    assert (await page.vibrate(30)).state is State.ABSENT
    assert await page.about() == About()
    assert await page.kept() == Kept()


@given(content=st.one_of(st.text(), st.binary()))
def test_an_attachment_travels_whole(content: str | bytes) -> None:
    """Text as text and bytes as base64 (RFC 4648) come out as they went in."""
    wire = json.loads(json.dumps(Attachment("a", "b", content).wire()))
    back = wire["text"] if isinstance(content, str) else base64.b64decode(wire["base64"])
    assert back == content


async def test_every_method_asks_what_the_page_knows() -> None:
    """Each question's name is one that bench_io.js answers."""
    from shared.bootstrap import ROOT

    script = (ROOT / "mobile" / "web" / "bench_io.js").read_text(encoding="utf-8")
    wire = NoPage()
    page = DevicePage(wire)
    await page.about()
    for question in (page.persist, page.storage, page.hush, page.voices, page.install, page.kept):
        await question()
    for question in (page.look_for_update, page.apply_update, page.reload, page.share):
        await question()
    await page.keep_awake(False)
    await page.offer_updates(True)
    await page.vibrate(10, 20)
    await page.speak("string five")
    await page.copy("x")
    await page.set_mark("k", None)
    await page.mark("k")
    await page.download(Attachment("a.txt", "text/plain", "x"))
    asks = script[script.index("const asks") : script.index("function fileOf")]
    for message in wire.asked:
        assert re.search(rf"^  (async )?{message['ask']}[(:]", asks, re.MULTILINE), message["ask"]


def test_every_reason_of_the_page_is_said_in_the_readers_language() -> None:
    """What the page's own script can give as a reason is among those that are translated."""
    script = (ROOT / "mobile" / "web" / "bench_io.js").read_text(encoding="utf-8")
    lacking = re.findall(r"need\(.*, \"([^\"]+)\"\)", script)
    reasons = re.findall(r"new (?:Absent|Refused|Error)\(\"([^\"]+)\"\)", script)
    assert len(lacking) > 8 and len(reasons) > 5
    assert {*reasons, *(f"this browser has no {thing}" for thing in lacking)} == set(REASONS)
