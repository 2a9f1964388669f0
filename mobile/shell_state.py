"""What the shell can be in the middle of, and what leads from one to the other."""

from __future__ import annotations

from enum import StrEnum


class ShellState(StrEnum):
    """What becomes of a command that is given now."""

    OPENING = "opening"
    """Home as it was last seen, or what the wait is for, is shown: a command waits."""
    PENDING = "pending"
    """A command waits already; another one is not taken."""
    WORKING = "working"
    """A command is carried out, and its view is shown at once."""
    SAVING = "saving"
    """The last command is recorded and not durable yet: its view waits for the storage."""
    TROUBLE = "trouble"
    """The last command was not recorded, which is said; the next is carried out."""
    NOT_OPEN = "not open"
    """The history does not open: nothing can be done here."""
    LOCKED_ELSEWHERE = "locked elsewhere"
    """Another tab writes: all that can be done is to ask for the lock."""


class ShellEvent(StrEnum):
    """What happens to the shell."""

    COMMAND_WAITS = "command waits"
    OPENED = "opened"
    NOT_OPENED = "not opened"
    LOCKED = "locked"
    """Another tab has, or took, the writer lock."""
    CARRIED_OUT = "carried out"
    """A command is recorded, and durable where the storage confirms at once."""
    SAVE_BEGUN = "save begun"
    """A command is recorded where the storage confirms later."""
    SAVED = "saved"
    FAILED = "failed"


_OPEN = (ShellState.WORKING, ShellState.SAVING, ShellState.TROUBLE)
_NOT_WORKING = (
    *(ShellState.OPENING, ShellState.PENDING),
    *(ShellState.NOT_OPEN, ShellState.LOCKED_ELSEWHERE),
)
TRANSITIONS: dict[tuple[ShellState, ShellEvent], ShellState] = {
    (ShellState.OPENING, ShellEvent.COMMAND_WAITS): ShellState.PENDING,
    **{(state, ShellEvent.OPENED): ShellState.WORKING for state in _NOT_WORKING},
    **{(state, ShellEvent.NOT_OPENED): ShellState.NOT_OPEN for state in _NOT_WORKING},
    **{(state, ShellEvent.LOCKED): ShellState.LOCKED_ELSEWHERE for state in ShellState},
    **{(state, ShellEvent.CARRIED_OUT): ShellState.WORKING for state in _OPEN},
    **{(state, ShellEvent.SAVE_BEGUN): ShellState.SAVING for state in _OPEN},
    **{(state, ShellEvent.FAILED): ShellState.TROUBLE for state in _OPEN},
    (ShellState.WORKING, ShellEvent.SAVED): ShellState.WORKING,
    (ShellState.SAVING, ShellEvent.SAVED): ShellState.WORKING,
    (ShellState.TROUBLE, ShellEvent.SAVED): ShellState.TROUBLE,
}
"""Every step there is: no other can be taken."""


def step(state: ShellState, event: ShellEvent) -> ShellState:
    """The state after `event`; ValueError when it cannot happen in `state`."""
    try:
        return TRANSITIONS[state, event]
    except KeyError:
        raise ValueError(f"{event} while {state}") from None
