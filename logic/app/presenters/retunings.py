"""What has changed the tension of the strings in a visit, whether they were tuned since, and how
long the instrument has lain."""

from __future__ import annotations

from collections.abc import Iterable

from logic.history.documents.models import Authorship, JobDocument, TakenStep
from shared.events import Event, Kind, Stamp
from shared.setup import SaddleStep, SetupStep, StringsStep, TurnStep

IN_TUNE, YES = "at_pitch", "yes"
"""The check that says that every string is at its pitch, and its good answer."""
_CHANGE_TENSION = (TurnStep, SaddleStep, StringsStep)
_KINDS = tuple(kind.named() for kind in _CHANGE_TENSION)
LAIN_MS = 8 * 3600 * 1000
"""After so long a neck is measured anew (common practice, no source)."""


def moved_tension(document: JobDocument) -> Authorship | None:
    """What changed the tension last: a step of the set-up, or a pass in a slot; None where nothing
    did."""
    steps = (taken for taken in document.setup_steps if isinstance(taken.step, _CHANGE_TENSION))
    moved: list[Authorship] = [*steps, *document.passes]
    return max(moved, key=lambda each: each.order, default=None)


def is_in_tune(document: JobDocument) -> bool:
    """Whether somebody said so, and nothing has changed the tension since."""
    said = document.marks.get(f"checks.{IN_TUNE}")
    if said is None or document.checks.get(IN_TUNE) != YES:
        return False
    moved = moved_tension(document)
    return moved is None or moved.order < said.order


def asks_in_tune_again(document: JobDocument) -> bool:
    """Whether the strings are to be tuned once more before anything is read."""
    return moved_tension(document) is not None and not is_in_tune(document)


def what_moved(document: JobDocument) -> SetupStep | None:
    """The step that the strings are to be tuned after; None where it was a pass in a slot."""
    moved = moved_tension(document)
    return moved.step if isinstance(moved, TakenStep) else None


def retunings(entries: Iterable[Event], undone: Iterable[str]) -> int:
    """How often the strings were said to be in tune again after something had changed their
    tension, of what a visit's `entries` say in their order and nobody has taken back."""
    gone, waits, count = set(undone), False, 0
    for event in entries:
        if event.id in gone:
            continue
        if _changes_tension(event):
            waits = True
        elif waits and _says_in_tune(event):
            waits, count = False, count + 1
    return count


def _changes_tension(event: Event) -> bool:
    if event.kind == Kind.SETUP_STEP:
        return event.body["step"].get("step") in _KINDS
    return event.kind == Kind.PASS_FILED


def _says_in_tune(event: Event) -> bool:
    said = event.kind == Kind.CHECK_ANSWERED and event.body["gate"] == IN_TUNE
    return said and event.body["answer"] == YES


def hours_lain(document: JobDocument, now_ms: int) -> int | None:
    """Whole hours since anything was read of it or done to it, where they are so many that it is
    measured anew; else None, as where nothing was read yet."""
    read = (*document.readings, *document.measurements)
    since = [_last_ms(each) for each in (*read, *document.setup_steps, *document.passes)]
    if not read or not since:
        return None
    lain = now_ms - max(since)
    return lain // 3_600_000 if lain >= LAIN_MS else None


def _last_ms(entry: Authorship) -> int:
    return Stamp.parse(entry.time).wall_ms
