"""What is said aloud: everything needed to go on without looking, in words a voice reads well."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from mobile.device.voice import aloud, announcement
from shared.readings import Contact
from tests.logic.app.apps import fresh_app, walking
from tests.mobile.scenes import scenes


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("20 thou", "20 thou"),
        ("20 + 10 thou", "20 and 10 thou"),
        ("0.51 mm", "0.51 millimetres"),
        ("0,51 mm", "0.51 millimetres"),
        ("0.020 in", "0.020 inches"),
        ("strings 5 and 3 in that order", "strings 5 and 3 in that order"),
        (".036", "point 0 3 6"),
        ("F♯2", "F sharp 2"),
        ("B♭3", "B flat 3"),
        ("E2 · 95 %", "E 2, 95 percent"),
        ("−3 cents", "minus 3 cents"),
    ],
)
def test_signs_are_said_as_words(written: str, said: str) -> None:
    """No voice has to guess what a sign, a unit or a missing nought means."""
    assert aloud(written) == said


def test_a_new_string_is_said_whole() -> None:
    """Which string, its pitch, from which side, which leaf in which unit."""
    view = scenes()["walk"]
    said = announcement(view)
    assert isinstance(view, views.WalkView)
    assert f"String {view.string}" in said
    assert "side" in said and f"{view.number} {view.unit}" in said


def test_what_was_kept_is_said_before_what_is_next() -> None:
    """The answer first, then only the next leaf while the string is the same."""
    app = fresh_app()
    before = walking(app)
    after = app.do(do.Feel(Contact.NONE))
    assert isinstance(before, views.WalkView) and isinstance(after, views.WalkView)
    assert after.string == before.string
    said = announcement(after, before)
    assert said == f"string 6, 20 no contact. Now {after.number} {after.unit}."


def test_another_string_is_named() -> None:
    """When the walk goes on, the new string is said with its leaf and its side."""
    app = fresh_app()
    before = walking(app)
    after = app.do(do.Walk(3))
    assert "String 3" in announcement(after, before)


@pytest.mark.parametrize(
    ("scene", "word"),
    [("cut", "stroke"), ("card", "?"), ("plan", "to lower"), ("trouble", "All is kept")],
)
def test_the_other_screens_that_matter_speak(scene: str, word: str) -> None:
    """Strokes to make, a question with its answers, the plan in a sentence, and any trouble."""
    assert word in announcement(scenes()[scene])


@pytest.mark.parametrize("scene", ["home", "kit", "settings", "kinds"])
def test_where_nothing_is_asked_nothing_is_said(scene: str) -> None:
    """Lists and settings are for the eyes."""
    assert announcement(scenes()[scene]) == ""


@pytest.mark.parametrize("scene", list(scenes()))
def test_no_sign_ever_reaches_the_voice(scene: str) -> None:
    """Whatever is said on any screen is free of signs that voices skip or spell."""
    assert not re.search(r"[♯♭·+±→←✓%]|\bmm\b|(?<![\d.])\.\d", announcement(scenes()[scene]))


def test_the_same_plan_is_not_said_again_when_a_line_is_opened() -> None:
    """Only arriving at the plan is worth a sentence."""
    plan = scenes()["plan"]
    assert isinstance(plan, views.PlanView)
    assert announcement(replace(plan, opened=3), plan) == ""


def test_a_plan_that_waits_says_for_what() -> None:
    """Arriving there, what to answer first and who waits for it follows the count of calls."""
    plan = scenes()["plan that waits"]
    assert isinstance(plan, views.PlanView)
    said = announcement(plan)
    assert said.startswith(aloud(plan.summary))
    assert "the neck have? 6 strings wait for the answer." in said


def test_a_visit_says_what_comes_next_and_what_to_mind() -> None:
    """At the stages the next thing; at a piece of work its caution, once; after it the question
    whether it is in tune."""
    stages, rod = scenes()["stages"], scenes()["the rod"]
    assert isinstance(stages, views.StagesView) and stages.next
    assert announcement(stages).startswith(aloud(stages.next.label))
    assert "qualified repairer" in announcement(rod, stages)
    assert announcement(rod, rod) == ""
    assert announcement(scenes()["in tune again"]).startswith("In tune again?")
