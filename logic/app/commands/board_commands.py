"""What a person can change of a board and of how strings lie over it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SeeBoard:
    """Show where the frets of the instrument at hand are."""


@dataclass(frozen=True)
class SpaceFrets:
    """Space the frets so: the name of a spacing."""

    spacing: str


@dataclass(frozen=True)
class ToggleHalfFret:
    """Put the half fret of this name on a diatonic board, or take it off."""

    name: str


@dataclass(frozen=True)
class ToggleFret:
    """Put a fret at this pitch above the open string, in semitones, or take it off."""

    semitones: float


@dataclass(frozen=True)
class StepFrets:
    """So many frets more."""

    frets: int


@dataclass(frozen=True)
class TieFrets:
    """Say that the frets are tied round the neck, or that they are fixed."""

    tied: bool


@dataclass(frozen=True)
class PairString:
    """Let the course of the string at hand be single or a pair: the name of a pairing."""

    pairing: str


@dataclass(frozen=True)
class StepOwnNut:
    """Let the string at hand begin so many frets further up the board."""

    frets: int


@dataclass(frozen=True)
class CommonScale:
    """Let the string at hand have the instrument's scale."""


@dataclass(frozen=True)
class SetHand:
    """Say which way it is strung."""

    left: bool


BoardCommand = (
    SeeBoard
    | SpaceFrets
    | ToggleHalfFret
    | ToggleFret
    | StepFrets
    | TieFrets
    | PairString
    | StepOwnNut
    | CommonScale
    | SetHand
)
