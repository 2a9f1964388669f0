"""What a person can do with the kits of a bench."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.commands.start_commands import SeeKit as SeeKit
from shared.kit import RuleClass


@dataclass(frozen=True)
class UseKit:
    """Work with this kit from now on."""

    kit: str


@dataclass(frozen=True)
class SetMarking:
    """What a touch on a tool does: "in" puts it in or takes it out, "lost" and "worn" mark it."""

    marking: str


@dataclass(frozen=True)
class ToggleLeaf:
    """Put a leaf of this thickness in the kit, or take it out."""

    leaf: str


@dataclass(frozen=True)
class ToggleFile:
    """Put a file of this width in the kit, or take it out."""

    file: str


@dataclass(frozen=True)
class ToggleStock:
    """Put a shim, a fill or a blank ("shims", "fills", "blanks") in the kit, or take it out."""

    sort: str
    what: str


@dataclass(frozen=True)
class MarkTool:
    """Mark a tool ("leaf", "file", "shim") lost or found, or a file worn or replaced."""

    tool: str
    size: str
    marking: str


@dataclass(frozen=True)
class ShowSizes:
    """Show the sizes that are made in this unit, "thou" or "mm"."""

    unit: str


@dataclass(frozen=True)
class TakeSet:
    """Put a set that is sold together in the kit; take it out where all of it is there."""

    name: str


@dataclass(frozen=True)
class HaveStraightEdge:
    """Say whether a straight edge is at hand."""

    on: bool


@dataclass(frozen=True)
class HaveRule:
    """Say which class stands on the rule that heights are read from."""

    rule: RuleClass


@dataclass(frozen=True)
class EmptyKit:
    """Start from a kit that holds nothing."""


@dataclass(frozen=True)
class ConfirmKit:
    """Say that all that was assumed to be in the kit is there."""


@dataclass(frozen=True)
class KitIntoJobs:
    """Work out of this kit at the open jobs too."""


@dataclass(frozen=True)
class AdviseKit:
    """Say what the latest jobs would have needed most."""


KitCommand = (
    SeeKit
    | UseKit
    | SetMarking
    | ToggleLeaf
    | ToggleFile
    | ToggleStock
    | MarkTool
    | AdviseKit
    | ShowSizes
    | TakeSet
    | HaveStraightEdge
    | HaveRule
    | EmptyKit
    | ConfirmKit
    | KitIntoJobs
)
