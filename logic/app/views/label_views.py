"""What the screens of the labels show: the way to print them, and what a label leads to."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class LabelsView:
    """The labels that can be printed, and the address that stands in their codes."""

    count: str
    """Of which instruments, how many."""
    sheets: str
    about: tuple[str, ...]
    address: str
    doubt: str
    """Why labels with this address may lead nowhere; empty where they lead to the app."""
    ready: bool
    """Whether there is anything to print."""
    note: str = ""


@dataclass(frozen=True)
class FindLabelView:
    """How an instrument is found by its label on this device."""

    about: tuple[str, ...]
    can_scan: bool
    note: str = ""


@dataclass(frozen=True)
class UnknownLabelView:
    """A label that belongs to no instrument here: what happened, what is safe, what to do next."""

    title: str
    about: tuple[str, ...]
