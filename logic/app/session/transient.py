"""What was chosen or typed and is never recorded: it is gone with the tab."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from logic.app.session.gap_manner import GapManner
from logic.bench.instrument.changes import Changes
from logic.bench.raising.nut_layout import Wishes


@dataclass(frozen=True)
class InstrumentList:
    """Where somebody stands in the list of instruments."""

    query: str = ""
    first: int = 0
    """The first place shown."""
    choosing: bool = False
    chosen: tuple[str, ...] = ()
    checking: bool = False
    """Whether the one that is touched is checked."""


class ToErase(NamedTuple):
    """What was asked to be erased: a "job", an "instrument" or all of an "owner", and which."""

    what: str = ""
    name: str = ""


@dataclass
class Transient:
    """One person's input between commands."""

    saved: str = ""
    """What the last command recorded, in words."""
    announced: str = ""
    """What the last command took back, in words; said on whichever screen follows."""
    refused: str = ""
    """Why what was typed last was not recorded, in words."""
    awaited_key: str = ""
    """The action whose key is to be pressed now."""
    follows: str = ""
    """What the last change of the instrument makes of what was read, in words."""
    put_away: str = ""
    """The job that the last command put away; it can be brought back."""
    number_kind: str = ""
    """What the number pad is asked for; empty while it is away."""
    frets_listed: int = 0
    """How many frets were typed one after the other since the number pad was asked for them."""
    correcting: str = ""
    """The entry on the card of a string that is to be put right; empty where none is."""
    afresh: int | None = None
    """The settled string that is read once more on purpose."""
    manner: GapManner = field(default_factory=GapManner)
    """How relief and action are measured, where somebody chose."""
    sheet_for_bench: bool = False
    """Whether the sheet shown is the bench's, not the owner's."""
    what_if: Changes = field(default_factory=Changes)
    """How the dials of the what-if are turned."""
    nut_wishes: Wishes = field(default_factory=Wishes)
    """How a new nut is to be laid out."""
    raising_method: str = ""
    """The option of raising that is opened; empty for the recommended one."""
    amount_steps: dict[str, int] = field(default_factory=dict)
    """By option of raising, how many steps its amount was turned by before it is reported."""
    tool_marking: str = "in"
    """What a touch on a tool of the kit does: put it "in" or out, mark it "lost" or "worn"."""
    kit_advice: tuple[str, ...] = ()
    """What to buy next, once that was asked."""
    kit_unit: str = ""
    """In which unit the sizes are made that the kit shows, "thou" or "mm"; empty for its own."""
    instrument_list: InstrumentList = field(default_factory=InstrumentList)
    labels_of: tuple[str, ...] = ()
    """The instruments whose labels are to be printed; none for all."""
    label_code: str = ""
    """The code of the label that nothing here is known by."""
    joining_code: str = ""
    """The code that is at hand to join a hub with."""
    to_erase: ToErase = field(default_factory=ToErase)
    skipping: str = ""
    """The part of a visit that was asked to be left out and that a cut waits for."""
    eighths: int | None = None
    """Eighths of a turn as they were counted before a turn is reported; None: nobody counted."""
    saddle_steps: int = 0
    """Steps by which the saddle went up before that is reported."""

    def begin_command(self, *, keeps_number_pad: bool) -> None:
        """Forget what was said of the command before."""
        self.saved = self.announced = self.refused = self.awaited_key = self.put_away = ""
        self.follows = self.skipping = ""
        if not keeps_number_pad:
            self.number_kind = self.correcting = ""

    def begin_trial(self) -> None:
        """Forget what was tried out."""
        self.what_if, self.nut_wishes = Changes(), Wishes()

    def forget_words(self) -> None:
        """Another language is spoken: what is kept in words of the last one goes."""
        self.kit_advice = ()
