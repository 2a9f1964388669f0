"""What the device does alongside: stays awake, buzzes in the hand, speaks, offers an update.

All of it is comfort: where a device has none of it, or says no, or never answers, nothing is
missing from the record and nothing waits.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Coroutine
from dataclasses import dataclass, field
from typing import Any

from logic.app.views.views import (
    CutView,
    FindLabelView,
    HomeView,
    TypeView,
    UnknownLabelView,
    View,
    WalkView,
)
from mobile.device.page import DevicePage, PageAnswer, State
from mobile.device.voice import aloud, announcement
from shared.words import mark, say, spoken_language

BUZZ_MS = 25
PATIENCE_S = 5.0
"""How long the page may take to answer before it is left alone."""
VOICES_LATER_S = 1.0
"""Browsers that load their voices late have them by then."""
SILENT = PageAnswer(State.REFUSED, why=mark("the page did not answer"))
NO_VOICE = mark("This device has no voice that works without a network.")
NOT_AWAKE = mark("The screen cannot be kept on now: {why}.")
_LACKS = {
    "speech": mark("This device cannot speak."),
    "awake": mark("This device cannot be kept awake by a page; set its screen timeout longer."),
    "buzz": mark("This device cannot buzz in the hand."),
}
AT_REST = (HomeView, FindLabelView, UnknownLabelView)
"""Where nothing is under way: a newer version may be offered, and a label that is scanned is
followed at once."""
MEASURING = (WalkView, CutView, TypeView)
"""Where the screen has to stay on: both hands are at the instrument."""


@dataclass
class DeviceEffects:
    """Follows what is shown and does what the settings want of the device."""

    device: DevicePage
    settings: Callable[[], dict[str, str]]
    lacks: dict[str, str] = field(default_factory=dict)
    """By setting, what this device lacks for it: sentences that the settings page says."""
    _view: View | None = None
    """What is shown."""
    _language: str = ""
    _awake: bool = False
    _offers: bool | None = None
    """Whether the page may offer a newer version; None until it was told."""
    _speaking: bool = False
    _tasks: set[asyncio.Task[Any]] = field(default_factory=set)

    async def learn_what_it_has(self) -> None:
        """Learn what this device has; what it lacks is said in the settings."""
        has = (await self._answer(self.device.comforts())).value or {}
        for setting, words in _LACKS.items():
            self._set_lack(setting, "" if has.get(setting) else words)
        if has.get("speech"):
            await self._learn_voice()

    async def _learn_voice(self) -> None:
        self._set_lack("speech", "" if await self._has_voice() else NO_VOICE)

    async def _has_voice(self) -> bool:
        for _ in range(2):
            voices = (await self._answer(self.device.voices())).value or []
            if any(_speaks(voice) for voice in voices):
                return True
            await asyncio.sleep(VOICES_LATER_S)
        return False

    def follow(self, view: View) -> None:
        """Do what belongs to the view that is shown now."""
        settings = self.settings()
        self._read_in(spoken_language())
        self._offer_updates(isinstance(view, AT_REST))
        self._keep_awake(isinstance(view, MEASURING) and settings.get("awake") != "off")
        if getattr(view, "saved", "") and settings.get("buzz") != "off":
            self._run(self.device.vibrate(BUZZ_MS))
        self._speak(announcement(view, self._view), settings)
        self._view = view

    def _read_in(self, language: str) -> None:
        """Tell the page its language; another one may have another voice, or none."""
        if language != self._language:
            before, self._language = self._language, language
            self._run(self.device.read_in(language))
            if before:
                self._run(self._learn_voice())

    def _offer_updates(self, offers: bool) -> None:
        """Let the page offer a newer version while nothing is under way; told when it changes."""
        if offers is not self._offers:
            self._offers = offers
            self._run(self.device.offer_updates(offers))

    def say_again(self) -> None:
        """Say in full what is asked now."""
        if self._view is not None:
            self._speak(announcement(self._view), self.settings() | {"speech": "on"})

    def say(self, text: str) -> None:
        """Say one thing that was lit, where speech is wanted."""
        self._speak(aloud(text), self.settings())

    def _keep_awake(self, on: bool) -> None:
        if on != self._awake:
            self._awake = on
            self._run(self._wake(on))

    async def _wake(self, on: bool) -> None:
        answer = await self._answer(self.device.keep_awake(on))
        if on and not answer.ok:
            self._set_lack("awake", say(NOT_AWAKE, why=say(answer.why)))

    def _speak(self, text: str, settings: dict[str, str]) -> None:
        """Say `text` instead of what is being said; with nothing to say, be quiet."""
        if text and settings.get("speech") == "on":
            self._speaking = True
            rate = float(settings.get("rate", "1"))
            self._run(self.device.speak(text, lang=spoken_language(), rate=rate))
        elif self._speaking:
            self._speaking = False
            self._run(self.device.hush())

    def _set_lack(self, setting: str, words: str) -> None:
        """Say in the settings what this device lacks for one of them; nothing where `words` are
        empty."""
        if words:
            self.lacks[setting] = words
        else:
            self.lacks.pop(setting, None)

    async def _answer(self, asked: Awaitable[PageAnswer]) -> PageAnswer:
        """What the page says; one that does not answer in time has nothing."""
        try:
            return await asyncio.wait_for(asked, PATIENCE_S)
        except TimeoutError:
            return SILENT

    def _run(self, asked: Coroutine[Any, Any, Any]) -> None:
        task = asyncio.ensure_future(self._in_time(asked))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _in_time(self, asked: Awaitable[Any]) -> None:
        await self._answer(asked)


def _speaks(voice: dict[str, Any]) -> bool:
    """Whether a voice speaks our language and needs no network for it."""
    language = str(voice.get("lang", ""))
    return bool(voice.get("localService")) and language.startswith(spoken_language())
