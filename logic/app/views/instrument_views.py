"""What the screens of the instruments show: the list, one instrument's page, and its parts."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.views.pieces import Choice, StringMark


@dataclass(frozen=True)
class InstrumentLine:
    """One instrument in the list."""

    instrument: str
    title: str
    detail: str
    chosen: bool = False
    """For a check of several in a row."""


@dataclass(frozen=True)
class InstrumentsView:
    """A page of the list: those that the words find, by label."""

    query: str
    lines: tuple[InstrumentLine, ...]
    count: str
    """Which of how many."""
    earlier: bool
    later: bool
    choosing: bool
    chosen: int
    following: str = ""
    """The next instrument of a rack that was begun."""
    checking: bool = False
    """Whether the one that is touched is checked at once."""


@dataclass(frozen=True)
class StringFields:
    """One string as it is on record."""

    string: int
    name: str
    spec: str
    """Pitch, gauge and make."""
    known: str
    """The last known clearance with its uncertainty."""
    target: str
    own: bool = False
    """Whether the target is the player's own."""


@dataclass(frozen=True)
class BuzzNote:
    """One clearance of a trend, in millimetres, with the ends of its 95 % interval."""

    clearance_mm: float
    low_mm: float
    high_mm: float


@dataclass(frozen=True)
class Trend:
    """One string's clearance over the jobs that measured it, oldest first."""

    string: int
    label: str
    points: tuple[BuzzNote, ...]
    target_mm: float
    said: str
    """The same in words."""


@dataclass(frozen=True)
class PastJob:
    """One job of the instrument."""

    job: str
    when: str
    said: str
    state: str = ""
    """Where its entries are, where there is a hub."""


@dataclass(frozen=True)
class InstrumentView:
    """One instrument: what it is, where its strings stood, and what was done."""

    instrument: str
    title: str
    about: str
    facts: tuple[tuple[str, str], ...]
    strings: tuple[StringFields, ...]
    trends: tuple[Trend, ...]
    past: tuple[PastJob, ...]
    more_past: int
    checks: bool
    """Whether enough is on record for a quick check."""
    saved: str = ""
    changes: int = 0
    """Fields that two devices wrote differently."""
    erasing: bool = False
    """Whether something of it is promised to be erased."""


@dataclass(frozen=True)
class StringsView:
    """Tuning, gauges and makes, string by string or as a set."""

    instrument: str
    title: str
    string: int | None
    """The string that the steppers turn; None: all of them."""
    marks: tuple[StringMark, ...]
    place: str
    pitch: str
    gauge: str
    makes: tuple[Choice, ...]
    sets: tuple[Choice, ...]
    tunings: tuple[Choice, ...]
    note: str
    doubts: tuple[str, ...] = ()
    """Strings whose gauge and pitch can hardly both be meant."""
    count: str = ""
    """How many strings there are."""
    said: str = ""
    """What the last change makes of what was read, or why it was not made."""
    pairings: tuple[Choice, ...] = ()
    """What lies beside the string in its course; of all strings, beside each."""
    own_nut: str = ""
    """Where its own nut is; empty where all strings are spoken of, or the board is bare."""
    own_scale: str = ""
    """Empty where all strings are spoken of."""
    has_own_scale: bool = False
    hands: tuple[Choice, ...] = ()
    """Which way it is strung; empty where one string is spoken of."""
    can_be_fitted: bool = False
    """Whether new strings can be said to be on: in a visit at which some were read."""


@dataclass(frozen=True)
class NutView:
    """How the nut holds its strings, and what it is made of."""

    instrument: str
    title: str
    types: tuple[Choice, ...]
    materials: tuple[Choice, ...]
    width: str = ""
    """Over all, as far as it is known."""


@dataclass(frozen=True)
class NameView:
    """The label and the owner's tag."""

    instrument: str
    title: str
    label: str
    owner: str
    ticket: str | None = None
    """What the visit was booked under; None where no visit is at hand."""
    others: str = ""
    """What else is on record of an owner of this name."""
    another: str = ""
    """A tag for another owner of the same name."""


@dataclass(frozen=True)
class TargetLine:
    """Where one string is aimed at, and by whom."""

    string: int
    name: str
    target: str
    whose: str
    own: bool


@dataclass(frozen=True)
class TargetsView:
    """How hard it is played, and where its strings are aimed at: own targets and the table's."""

    title: str
    string: int | None
    """The string that the steppers turn; None: all of them."""
    marks: tuple[StringMark, ...]
    place: str
    target: str
    whose: str
    own: bool
    """Whether any string at hand has an own target."""
    tables: str
    """The table's target and window, with the uncertainty of its edges."""
    notes: tuple[str, ...]
    """What to expect of the own targets."""
    attacks: tuple[Choice, ...]
    lines: tuple[TargetLine, ...]
    note: str
    bow: tuple[Choice, ...] = ()
    """Plucked, or with a bow; none where nobody bows such an instrument."""
    wishes: tuple[Choice, ...] = ()
    """How far down the slots of a visit come; none on an instrument's page."""
