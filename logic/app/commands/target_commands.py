"""What a person can do about a player's own targets, in a job or on an instrument's page."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SeeTargets:
    """Show where each string is aimed at, the steppers turning one of them or all."""

    string: int | None = None


@dataclass(frozen=True)
class SetTarget:
    """An own target so many steps higher, for the string at hand or for all."""

    steps: int


@dataclass(frozen=True)
class TablesTarget:
    """Aim where the table aims again, at the string at hand or at all."""


@dataclass(frozen=True)
class SetToTarget:
    """Whether every slot of this visit is to come down to its target, complaint or none."""

    on: bool


@dataclass(frozen=True)
class SetBow:
    """Whether the player bows the strings more than plucking them."""

    bowed: bool


TargetCommand = SeeTargets | SetTarget | TablesTarget | SetToTarget | SetBow
