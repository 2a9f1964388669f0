"""What the device does alongside: wanted, absent, refused, silent; never in anybody's way."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from mobile.device import device_effects
from mobile.device.device_effects import NO_VOICE, DeviceEffects
from mobile.device.page import DevicePage
from mobile.parts.theme import Theme
from tests.logic.app.apps import fresh_app
from tests.mobile.scenes import scenes
from tests.mobile.tree import drawn

VOICE = {"name": "Alder", "lang": "en-GB", "localService": True}
FAR_VOICE = {"name": "Far", "lang": "en-GB", "localService": False}
HAS_ALL = {"awake": True, "buzz": True, "speech": True}


@dataclass
class Around:
    """A page that does what a test wants: answers, refuses, or never answers."""

    has: dict[str, bool] = field(default_factory=lambda: dict(HAS_ALL))
    voices: list[dict[str, Any]] = field(default_factory=lambda: [VOICE])
    refuses: set[str] = field(default_factory=set)
    silent: set[str] = field(default_factory=set)
    asked: list[tuple[str, dict[str, Any]]] = field(default_factory=list)
    take: Callable[[str], None] = field(default=lambda text: None)

    def post(self, text: str) -> None:
        """Take one question."""
        message = json.loads(text)
        ask = message["ask"]
        self.asked.append((ask, message["with"]))
        if ask in self.silent:
            return
        value: Any = {"comforts": self.has, "voices": self.voices}.get(ask, True)
        state = "refused" if ask in self.refuses else "ok"
        self.take(
            json.dumps({"id": message["id"], "state": state, "value": value, "why": "low power"})
        )

    def listen(self, take: Callable[[str], None]) -> None:
        """Remember who hears the answers."""
        self.take = take

    def of(self, ask: str) -> list[dict[str, Any]]:
        """Everything asked under this name."""
        return [given for name, given in self.asked if name == ask]


def beside(around: Around, **settings: str) -> DeviceEffects:
    """The device effects of this page with these settings."""
    return DeviceEffects(DevicePage(around), lambda: settings)


async def calm() -> None:
    """Let everything that was started run."""
    for _ in range(8):
        await asyncio.sleep(0)


@pytest.fixture(autouse=True)
def _impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Wait hundredths of a second for a page, not seconds."""
    monkeypatch.setattr(device_effects, "PATIENCE_S", 0.02)
    monkeypatch.setattr(device_effects, "VOICES_LATER_S", 0.01)


async def test_the_screen_stays_on_while_measuring_and_cutting() -> None:
    """Asked for once on the way in, held through walk, number and cut, given back at the plan."""
    around = Around()
    follower = beside(around)
    for scene in ("home", "walk", "number pad", "walk", "cut", "plan"):
        follower.follow(scenes()[scene])
        await calm()
    assert [given["on"] for given in around.of("wake")] == [True, False]


async def test_each_comfort_can_be_switched_off() -> None:
    """Screen, buzz and speech do nothing where the settings say so; speech is off by itself."""
    around = Around()
    follower = beside(around, awake="off", buzz="off")
    follower.follow(kept_answer())
    await calm()
    assert not around.of("wake") and not around.of("vibrate") and not around.of("speak")


def kept_answer() -> views.WalkView:
    """The walk just after an answer was kept."""
    view = scenes()["walk with a trail"]
    assert isinstance(view, views.WalkView)
    return replace(view, saved="Saved: string 6, 20 no contact.")


async def test_a_kept_answer_is_felt_once() -> None:
    """One short buzz for an answer, none for looking around."""
    around = Around()
    follower = beside(around)
    follower.follow(kept_answer())
    follower.follow(scenes()["walk"])
    await calm()
    assert len(around.of("vibrate")) == 1


async def test_speech_says_what_is_next_at_the_chosen_rate() -> None:
    """The string and its leaf, at the rate of the settings."""
    around = Around()
    follower = beside(around, speech="on", rate="1.25")
    follower.follow(scenes()["walk"])
    await calm()
    (said,) = around.of("speak")
    assert said["rate"] == 1.25 and "String 6" in said["text"]


async def test_speech_stops_when_there_is_nothing_to_say() -> None:
    """Leaving the walk silences what is being said; silence is asked for once."""
    around = Around()
    follower = beside(around, speech="on")
    for scene in ("walk", "kit", "settings"):
        follower.follow(scenes()[scene])
    await calm()
    assert [ask for ask, _ in around.asked if ask in ("speak", "hush")] == ["speak", "hush"]


async def test_it_can_be_said_again_even_with_speech_off() -> None:
    """Whoever asks for it hears what is asked now."""
    around = Around()
    follower = beside(around)
    follower.follow(scenes()["walk"])
    follower.say_again()
    await calm()
    assert "String 6" in around.of("speak")[0]["text"]


async def test_speech_that_never_ends_holds_nothing_up() -> None:
    """A page that never answers is given up after a moment; the next thing is said all the same."""
    around = Around(silent={"speak", "wake", "vibrate", "quiet"})
    follower = beside(around, speech="on")
    for _ in range(20):
        follower.follow(kept_answer())
    assert follower._tasks
    await asyncio.sleep(0.1)
    assert len(around.of("speak")) == 20
    assert not follower._tasks


async def test_a_refused_wake_lock_is_said_in_the_settings() -> None:
    """A device that says no to staying awake costs a line in the settings and nothing else."""
    around = Around(refuses={"wake"})
    follower = beside(around)
    follower.follow(scenes()["walk"])
    await calm()
    assert "low power" in follower.lacks["awake"]


@pytest.mark.parametrize("lacking", HAS_ALL)
async def test_what_a_device_lacks_is_said(lacking: str) -> None:
    """Each comfort that is absent has its sentence; those that are there have none."""
    follower = beside(Around(has=HAS_ALL | {lacking: False}))
    await follower.learn_what_it_has()
    assert set(follower.lacks) == {lacking}


@pytest.mark.parametrize("voices", [[], [FAR_VOICE]])
async def test_a_device_without_a_voice_of_its_own_says_so(voices: list[dict[str, Any]]) -> None:
    """No voice, or only one that needs a network, is no voice at a bench."""
    follower = beside(Around(voices=voices))
    await follower.learn_what_it_has()
    assert follower.lacks == {"speech": NO_VOICE}


async def test_a_voice_that_comes_late_is_found() -> None:
    """Browsers that list their voices only at the second asking do have one."""
    around = Around(voices=[])
    follower = beside(around)
    looking = asyncio.ensure_future(follower.learn_what_it_has())
    await calm()
    around.voices = [VOICE]
    await looking
    assert follower.lacks == {}


async def test_a_page_that_never_answers_has_nothing() -> None:
    """Silence is taken for absence, and the app goes on."""
    follower = beside(Around(silent={"comforts", "voices"}))
    await follower.learn_what_it_has()
    assert set(follower.lacks) == set(HAS_ALL)


def test_the_settings_show_what_is_lacking_and_what_key_is_awaited() -> None:
    """Each lack stands under its own setting; the action that waits for its key says so."""
    app = fresh_app()
    app.device.lacks = {"speech": NO_VOICE}
    app.do(do.SeeSettings())
    view = app.do(do.AskKey("undo"))
    screen = drawn(view, Theme())
    assert NO_VOICE in screen.words()
    (awaited,) = [each for each in screen.all(ft.Semantics) if each.live_region]
    assert isinstance(awaited.content, ft.Text)
    assert "Press the key now" in str(awaited.content.value)
    assert screen.sends("give-undo") == [do.AskKey("")]
    assert screen.sends("give-take") == [do.AskKey("take")]
