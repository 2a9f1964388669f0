"""The shell as a state machine: what each state does with a command, and where it leads."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from mobile.shell import OpenedApp, Shell
from mobile.shell_state import TRANSITIONS, ShellEvent, ShellState, step
from tests.mobile.tabs import NoActions, opening_shell
from tests.mobile.test_shell import ERRORS, FEEL, Bench


@pytest.mark.parametrize("state", ShellState)
@pytest.mark.parametrize("event", ShellEvent)
def test_every_step_is_in_the_table_or_refused(state: ShellState, event: ShellEvent) -> None:
    """What the table does not name cannot happen, and says so."""
    if (state, event) in TRANSITIONS:
        assert step(state, event) is TRANSITIONS[state, event]
    else:
        with pytest.raises(ValueError, match=event):
            step(state, event)


def test_every_state_is_reached_and_left() -> None:
    """No state is a dead end, and none is out of reach of the opening."""
    reached = {ShellState.OPENING}
    for _ in ShellState:
        reached |= {target for (state, _), target in TRANSITIONS.items() if state in reached}
    assert reached == set(ShellState)
    for state in ShellState:
        assert {target for (source, _), target in TRANSITIONS.items() if source is state} - {state}


LOCKED = views.TroubleView("Open in another tab", "", "", "", can_take_over=True)
NOT_OPEN = views.TroubleView("The history does not open", "", "", "")
TAKE_OVER = do.TakeOver()


async def take_over() -> None:
    """Asks another tab for the lock."""


def in_state(state: ShellState, bench: Bench) -> Shell:
    """A shell in this state."""
    saves_later = state is ShellState.SAVING
    shell = opening_shell(bench.tasks.append, bench.clock)
    match state:
        case ShellState.OPENING:
            pass
        case ShellState.PENDING:
            shell.act(do.NewJob())
        case ShellState.NOT_OPEN:
            shell.not_opened(NOT_OPEN)
        case ShellState.LOCKED_ELSEWHERE:
            shell.locked_elsewhere(LOCKED, take_over)
        case _:
            shell.open(OpenedApp(bench, bench.settled, NoActions(), saves_later))
    if state is ShellState.SAVING:
        shell.act(do.GoHome())
    if state is ShellState.TROUBLE:
        bench.refuses = ERRORS[0]
        shell.act(do.GoHome())
        bench.refuses = None
    assert shell.state is state
    bench.done.clear()
    bench.tasks.clear()
    return shell


@pytest.mark.parametrize(
    ("state", "carried_out", "then"),
    [
        (ShellState.OPENING, [], ShellState.PENDING),
        (ShellState.PENDING, [], ShellState.PENDING),
        (ShellState.WORKING, [TAKE_OVER], ShellState.WORKING),
        (ShellState.SAVING, [TAKE_OVER], ShellState.SAVING),
        (ShellState.TROUBLE, [TAKE_OVER], ShellState.WORKING),
        (ShellState.NOT_OPEN, [], ShellState.NOT_OPEN),
        (ShellState.LOCKED_ELSEWHERE, [], ShellState.LOCKED_ELSEWHERE),
    ],
)
def test_what_becomes_of_a_command_in_each_state(
    state: ShellState, carried_out: list[do.Command], then: ShellState
) -> None:
    """It waits, is carried out, is left alone, or asks another tab for the lock."""
    bench = Bench()
    shell = in_state(state, bench)
    shell.act(TAKE_OVER)
    assert (bench.done, shell.state) == (carried_out, then)
    assert (take_over in bench.tasks) == (state is ShellState.LOCKED_ELSEWHERE)


@pytest.mark.parametrize("state", ShellState)
def test_another_tab_may_take_the_lock_in_any_state(state: ShellState) -> None:
    """Nothing is carried out any more; the settings stay, and what is shown is who writes."""
    bench = Bench(settings={"hand": "left"})
    shell = in_state(state, bench)
    settings = shell.settings()
    shell.locked_elsewhere(LOCKED, take_over)
    shell.act(FEEL)
    assert (shell.state, shell.view, bench.done) == (ShellState.LOCKED_ELSEWHERE, LOCKED, [])
    assert shell.settings() == settings


@pytest.mark.parametrize(
    "state",
    [
        *(ShellState.OPENING, ShellState.PENDING),
        *(ShellState.NOT_OPEN, ShellState.LOCKED_ELSEWHERE),
    ],
)
def test_opening_ends_in_work_or_says_why_not(state: ShellState) -> None:
    """From every state in which this tab does not write yet."""
    bench = Bench()
    shell = in_state(state, bench)
    opened: list[ShellState] = []
    shell.when_open(lambda: opened.append(shell.state))
    shell.open(OpenedApp(bench, bench.settled, NoActions()))
    assert (shell.state, shell.view, opened) == (ShellState.WORKING, bench.after(0), [shell.state])
    other = in_state(state, bench)
    other.not_opened(NOT_OPEN)
    assert (other.state, other.view) == (ShellState.NOT_OPEN, NOT_OPEN)


async def test_saving_ends_in_work_or_in_trouble() -> None:
    """With what the storage says; what runs after saving runs where it went well."""
    bench = Bench()
    shell = in_state(ShellState.SAVING, bench)
    saved: list[str] = []

    async def note() -> None:
        saved.append("saved")

    stop = shell.after_saving(note)
    shell.act(FEEL)
    await bench.quiet()
    assert (shell.state, saved) == (ShellState.WORKING, ["saved"])
    bench.settles_with = ERRORS[0]
    shell.act(do.GoHome())
    assert shell.state is ShellState.SAVING
    await bench.quiet()
    assert (shell.state, saved) == (ShellState.TROUBLE, ["saved"])
    bench.settles_with = None
    stop()
    shell.act(do.GoOn())
    await bench.quiet()
    assert (shell.state, saved) == (ShellState.WORKING, ["saved"])


async def test_a_lock_lost_while_saving_is_not_overwritten_by_what_was_saved() -> None:
    """The answer is durable, and another tab writes: that is what stays on the screen."""
    bench = Bench()
    shell = bench.shell(saves_later=True)
    shell.act(FEEL)
    shell.locked_elsewhere(LOCKED, take_over)
    await bench.quiet()
    assert (shell.state, shell.view) == (ShellState.LOCKED_ELSEWHERE, LOCKED)
