"""Kinds of readings: each answers for itself, and a new one is a model, a module and its lines."""

from __future__ import annotations

import csv
import io
from collections.abc import Hashable
from itertools import combinations

import pytest

from logic.app.app import App
from logic.app.commands import commands
from logic.app.views.views import TypeView
from logic.bench.instrument.fret_names import COUNTED, FretNames
from logic.bench.instrument.plausibility import read_length
from logic.bench.measuring import kinds
from logic.bench.measuring.contradictions import find_contradiction, height_evidence
from logic.bench.measuring.grid import CLEARANCE, Curve, bell, flat_prior
from logic.bench.measuring.kinds import KINDS, kind_of, open_string
from logic.bench.measuring.kinds.kind import EntryPad, FigureWording, HeightGeometry, ReadingKind
from logic.bench.measuring.posterior import posterior
from logic.bench.tables.reading import ReadingTable
from logic.bench.tables.trade_tables import TradeTables
from logic.history.exchange.spreadsheet import reading_columns, readings_csv
from logic.testing import TRADE
from shared import readings as shared_readings
from shared.events import Kind
from shared.instrument import Instrument
from shared.readings import (
    READING_KINDS,
    BuzzReading,
    Contact,
    LeafReading,
    Reading,
    UnknownReading,
    own_fields,
)
from shared.units import Length, LengthOf
from tests.logic.app.apps import fresh_app, walking


class ShankReading(Reading):
    """A made-up kind: the thickest drill shank that still passes under the string."""

    together = "shank"
    shank: Length


class ShankKind(ReadingKind[ShankReading]):
    """What a made-up kind has to say for itself."""

    model = ShankReading
    columns = ("shank",)
    pads = (EntryPad("shank", "Shank", "Which shank still passes?"),)

    def likelihood(
        self, reading: ShankReading, table: ReadingTable, geometry: HeightGeometry | None
    ) -> Curve:
        """A bell about the shank."""
        return bell(CLEARANCE, reading.shank.mm, table.number_spread_mm)

    def question(self, reading: ShankReading) -> Hashable:
        """One shank or another."""
        return None

    def sentence(self, reading: ShankReading, frets: FretNames) -> str:
        """As a sentence says it."""
        return f"a shank of {reading.shank} passes"

    def short(self, reading: ShankReading, figures: FigureWording, frets: FretNames) -> str:
        """As the trail says it."""
        return f"shank {figures.length(reading.shank)}"

    def cells(self, reading: ShankReading) -> tuple[str, ...]:
        """The shank."""
        return (str(reading.shank),)

    def typed(
        self, pad: EntryPad, string: int, text: str, instrument: Instrument, trade: TradeTables
    ) -> ShankReading:
        """A shank as thick as a clearance can be."""
        shank = read_length(LengthOf.CLEARANCE, text, trade, instrument.kind)
        return ShankReading(string=string, shank=shank)


@pytest.fixture
def shanks(monkeypatch: pytest.MonkeyPatch) -> None:
    """The made-up kind, added by its line in each of the two lists."""
    monkeypatch.setattr(shared_readings, "READING_KINDS", (*READING_KINDS, ShankReading))
    monkeypatch.setattr(kinds, "KINDS", (*KINDS, ShankKind()))


def test_every_model_has_one_kind_that_answers_for_it() -> None:
    """No reading can be kept of which nothing is known, and no kind is without readings."""
    models = [kind.model for kind in KINDS]
    assert len(models) == len(set(models))
    assert set(models) == {*READING_KINDS, BuzzReading, UnknownReading}


def test_kinds_are_told_apart_by_their_fields() -> None:
    """No field belongs to two kinds, and a buzz alone has none of its own."""
    for one, other in combinations(READING_KINDS, 2):
        assert own_fields(one).isdisjoint(own_fields(other))
    assert not own_fields(BuzzReading)


def test_columns_and_pads_have_one_owner_each() -> None:
    """No two kinds write the same column or answer to the same pad."""
    names = [name for kind in KINDS for name in kind.columns]
    pads = [pad.key for kind in KINDS for pad in kind.pads]
    assert len(names) == len(set(names)) and len(pads) == len(set(pads))
    assert open_string.KIND.columns == ("open buzz",)


def test_a_new_kind_is_read_by_its_field(shanks: None) -> None:
    """The wire form of a made-up kind is told by its field, and refused beside another kind's."""
    written = {"string": 6, "shank": "0.5 mm", "buzz": "hard"}
    assert type(Reading.model_validate(written)) is ShankReading
    with pytest.raises(ValueError, match="one reading holds one measurement"):
        Reading.model_validate(written | {"clearance": "0.5 mm"})


def test_a_new_kind_moves_the_belief_and_can_contradict(shanks: None) -> None:
    """Its likelihood counts, and its own words stand beside those of a leaf that disagrees."""
    table = TRADE.reading
    shank = ShankReading(string=6, shank=Length.parse("0.5 mm"))
    believed = posterior([shank], 6, flat_prior(CLEARANCE), table)
    assert believed.median == pytest.approx(0.5, abs=0.005)
    leaf = LeafReading(string=6, leaf=Length.parse("0.3 mm"), contact=Contact.HEAVY)
    found = find_contradiction(height_evidence([shank, leaf], 6, 0.01, table), 0.01)
    assert found is not None
    assert found.in_words(COUNTED) == "a shank of 0.5 mm passes, yet heavy contact under 0.30 mm"


def test_a_new_kind_is_typed_recorded_and_exported(shanks: None) -> None:
    """Its pad is offered, what is typed there is kept, said, counted and written to its column."""
    app = fresh_app()
    walking(app)
    view = app.do(commands.TypeNumber("shank"))
    assert isinstance(view, TypeView)
    assert view.ask == "Which shank still passes?"
    assert "Shank" in [way.label for way in view.ways if way.chosen]
    after = app.do(commands.NumberTyped("0.5 mm"))
    assert "shank 20 thou" in str(after)
    assert _recorded(app) == {"string": 6, "shank": "0.5 mm", "buzz": "unknown"}
    row, *none = csv.DictReader(io.StringIO(readings_csv(app.history)))
    assert (row["shank"], row["string"], none) == ("0.5 mm", "6", [])
    assert reading_columns()[-2:] == ("device", "shank")


def _recorded(app: App) -> object:
    events = list(app.history.events_after({}))
    return next(e.body["reading"] for e in reversed(events) if e.kind == Kind.READING_TAKEN)


def test_a_reading_of_no_kind_is_an_error() -> None:
    """A model that no kind answers for is a fault of the program, not taken for a buzz."""
    with pytest.raises(KeyError, match="ShankReading"):
        kind_of(ShankReading(string=1, shank=Length.parse("0.5 mm")))
