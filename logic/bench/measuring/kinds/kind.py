"""What every kind of reading answers for itself, so that nothing else asks which kind it is."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, Protocol, TypeVar

from logic.bench.instrument.fret_names import FretNames
from logic.bench.instrument.frets import has_fret
from logic.bench.instrument.plausibility import OddFigure
from logic.bench.measuring.grid import Curve
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.readings import Reading
from shared.units import Length
from shared.words import say

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable

R = TypeVar("R", bound=Reading)


class HeightGeometry(Hashable, Protocol):
    """How this string's geometry turns other measurements into the clearance over fret 1; a value,
    so that what it says can be remembered."""

    def held_clearance_mm(self, gap_mm: float, held_at: int) -> tuple[float, float]:
        """Clearance, and millimetres of clearance per millimetre of gap."""
        ...

    def semitones_at(self, fret: int) -> float:
        """The pitch of a fret above the open string."""
        ...

    def cents(self, clearance_mm: float, fret: int) -> float | None:
        """How sharp the note stopped at `fret` is, by height alone, cents; None where that is not
        known."""
        ...


class FigureWording(Protocol):
    """How a bench wants its figures written: in which unit, with which decimal mark."""

    def length(self, length: Length) -> str:
        """A length with its unit."""
        ...

    def stack(self, leaves: tuple[Length, ...]) -> str:
        """One leaf, or two together, without the unit."""
        ...

    def signed(self, cents: float) -> str:
        """Cents with their sign."""
        ...


@dataclass(frozen=True)
class EntryPad:
    """One thing that the number pad can ask of a string, and how its name is written.

    `key` is what screens and commands call it. `fret` is the fret that `label` and `ask` speak of,
    if they speak of one, counted from the string's own nut.
    """

    key: str
    label: str
    ask: str
    fret: int | None = None


@dataclass(frozen=True)
class Doubt:
    """A field of a reading that can hardly be meant: what was found there, and what to ask."""

    field: str
    found: str
    ask: str

    @classmethod
    def no_such_fret(
        cls, field: str, fret: int, instrument: Instrument, string: int
    ) -> Doubt | None:
        """The doubt about a fret, counted from the string's own nut, that the board does not have;
        None where it has it."""
        spec, last = instrument.spec(string), instrument.last_fret
        if last is None or has_fret(spec, instrument, fret):
            return None
        found = say("there is no fret {fret} on this board", fret=spec.from_fret + fret)
        return cls(field, found, say("it has {count}: name one of them", count=last))

    @classmethod
    def about(cls, field: str, odd: OddFigure | None) -> Doubt | None:
        """The doubt that an odd figure raises in a field; None where it is none."""
        return cls(field, odd.what, odd.ask) if odd else None


class ReadingKind(ABC, Generic[R]):
    """One kind of reading: what it says of the clearance, how it is said, kept and asked for."""

    model: type[R]
    columns: tuple[str, ...]
    """Its own columns of the spreadsheet."""
    pads: tuple[EntryPad, ...] = ()
    """The number pads that it offers beside those of other kinds."""
    fret_by_fret: bool = False
    """Whether it is read fret by fret: its pads then follow each other (`pads_along`), of which
    `pads` offers the first; its question is the fret."""
    unit_name: str = ""
    """What its pads are typed in, where that is no unit of length."""
    needs_frets: bool = False
    """Whether it can only be read where a string is stopped at a fret."""
    shares_an_error: bool = False
    """Whether several readings of one string are off together, and must be weighed together."""
    only_height: bool = True
    """Whether nothing but the height can be the cause of what was read."""

    def pads_on(self, instrument: Instrument, string: int) -> tuple[EntryPad, ...]:
        """Those of its pads for which this string's board has a fret."""
        spec = instrument.spec(string)
        return tuple(p for p in self.pads if p.fret is None or has_fret(spec, instrument, p.fret))

    @property
    def every_pad(self) -> tuple[EntryPad, ...]:
        """All its pads on any board, one for each fret where it is read fret by fret."""
        return self.pads

    def pads_along(self, instrument: Instrument, string: int) -> tuple[EntryPad, ...]:
        """The pads that follow each other along the frets of this string, one a fret."""
        return ()

    @abstractmethod
    def likelihood(
        self, reading: R, table: ReadingTable, geometry: HeightGeometry | None
    ) -> Curve | None:
        """How likely the reading is at each clearance of the grid; None when it says nothing about
        the height, or `geometry` is not known and it needs it."""

    def together(
        self, readings: Sequence[R], table: ReadingTable, geometry: HeightGeometry | None
    ) -> Curve | None:
        """How likely several readings of one string are together, of kinds that share an error."""
        raise NotImplementedError(f"readings of {type(self).__name__} share no error")

    def tells(self, reading: R, table: ReadingTable, geometry: HeightGeometry | None) -> bool:
        """Whether the reading says anything of the height."""
        return self.likelihood(reading, table, geometry) is not None

    @abstractmethod
    def question(self, reading: R) -> Hashable:
        """What was asked: another answer to the same question replaces this one."""

    @abstractmethod
    def sentence(self, reading: R, frets: FretNames) -> str:
        """The reading as part of a sentence. `nut_at` is the fret where the string's nut stands: a
        reading counts frets from there, people along the board."""

    @abstractmethod
    def short(self, reading: R, figures: FigureWording, frets: FretNames) -> str:
        """The reading in as few words as the trail of answers has room for."""

    def figure(self, reading: R, figures: FigureWording) -> str:
        """What was read, as the figure alone; of kinds that are read fret by fret."""
        raise NotImplementedError(f"{type(self).__name__} is not read fret by fret")

    @abstractmethod
    def cells(self, reading: R) -> tuple[str, ...]:
        """What stands in its `columns`; lengths as they were written, with their unit."""

    def bounds_mm(
        self, reading: R, table: ReadingTable, geometry: Callable[[], HeightGeometry]
    ) -> tuple[float, float] | None:
        """The lowest and highest clearance that this touch allows; None where it was no touch."""
        return None

    def doubt(self, reading: R, instrument: Instrument, trade: TradeTables) -> Doubt | None:
        """What to ask back where the reading can hardly be meant."""
        return None

    def typed(
        self, pad: EntryPad, string: int, text: str, instrument: Instrument, trade: TradeTables
    ) -> R:
        """The reading that was typed on one of its pads. InputError, with what to ask, where it is
        none or can hardly be meant."""
        raise NotImplementedError(f"{type(self).__name__} has no pad")


def around(mm: float, off_mm: float) -> tuple[float, float]:
    """Bounds either side of a clearance, millimetres, none of them below the crown."""
    return max(mm - off_mm, 0.0), max(mm + off_mm, 0.0)
