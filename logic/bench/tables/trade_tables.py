"""The trade's disputable numbers: one typed table for each file of `assets/`.

`logic.trade_loader` hands in the files. A table's model is imported, and the table checked, when it
is first asked for: an app that starts does not wait for what it may not need. The publisher and
the tests check them all.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

from pydantic import ValidationError

from shared.table import Table

if TYPE_CHECKING:
    from logic.bench.tables.attack import AttackTable
    from logic.bench.tables.boards import BoardTable
    from logic.bench.tables.call import CallTable
    from logic.bench.tables.causes import CauseTable
    from logic.bench.tables.cautions import CautionTable
    from logic.bench.tables.complaints import ComplaintTable
    from logic.bench.tables.cutting import CuttingTable
    from logic.bench.tables.files import FileTable
    from logic.bench.tables.handover import HandoverTable
    from logic.bench.tables.keeping import KeepingTable
    from logic.bench.tables.kit import KitSizes, KitTable
    from logic.bench.tables.labels import LabelTable
    from logic.bench.tables.layout import LayoutTable
    from logic.bench.tables.measurements import MeasurementTable
    from logic.bench.tables.pace import PaceTable
    from logic.bench.tables.plausible import PlausibleTable
    from logic.bench.tables.presets import PresetTable
    from logic.bench.tables.quick_check import QuickCheckTable
    from logic.bench.tables.raising import RaisingTable
    from logic.bench.tables.reading import ReadingTable
    from logic.bench.tables.relief import ReliefTable
    from logic.bench.tables.rules import RuleSet
    from logic.bench.tables.setup import SetupTable
    from logic.bench.tables.simulation import SimulationTable
    from logic.bench.tables.step_shifts import StepShiftTable
    from logic.bench.tables.string_sets import StringSetTable
    from logic.bench.tables.targets import TargetTable
    from logic.bench.tables.tellings import TellingTable
    from logic.bench.tables.tonight import TonightTable
    from logic.bench.tables.work import WorkTable
    from logic.physics.materials import MaterialTable

_Model = TypeVar("_Model", bound=Table)
SAMPLE = "sample"
"""The asset that is no table but a job file."""


class TradeTables:
    """Every table of `assets/`, by the name of its file without the ending.

    TableError, with file and line, at the first use of a table that is not as its model says. One
    set of tables equals only itself, so what is worked out from it can be remembered by it.
    """

    def __init__(self, text_of: Callable[[str], str]) -> None:
        """`text_of` gives the text of the asset of a name, which has no ending."""
        self.text_of = text_of

    @cached_property
    def attack(self) -> AttackTable:
        """How strings are played and pressed."""
        from logic.bench.tables.attack import AttackTable

        return self._table("attack", AttackTable)

    @cached_property
    def boards(self) -> BoardTable:
        """Boards and necks as they usually are."""
        from logic.bench.tables.boards import BoardTable

        return self._table("boards", BoardTable)

    @cached_property
    def call(self) -> CallTable:
        """Where a reading turns into a call."""
        from logic.bench.tables.call import CallTable

        return self._table("call", CallTable)

    @cached_property
    def causes(self) -> CauseTable:
        """Causes of what people complain of."""
        from logic.bench.tables.causes import CauseTable

        return self._table("causes", CauseTable)

    @cached_property
    def cautions(self) -> CautionTable:
        """Short cautions, and where they matter."""
        from logic.bench.tables.cautions import CautionTable

        return self._table("cautions", CautionTable)

    @cached_property
    def complaints(self) -> ComplaintTable:
        """What was said or noticed, and the questions it opens."""
        from logic.bench.tables.complaints import ComplaintTable

        return self._table("complaints", ComplaintTable)

    @cached_property
    def cutting(self) -> CuttingTable:
        """How careful a cut is, and what a file is believed to take."""
        from logic.bench.tables.cutting import CuttingTable

        return self._table("cutting", CuttingTable)

    @cached_property
    def files(self) -> FileTable:
        """Which file goes into which slot."""
        from logic.bench.tables.files import FileTable

        return self._table("files", FileTable)

    @cached_property
    def handover(self) -> HandoverTable:
        """What a hand-over sheet says besides its figures."""
        from logic.bench.tables.handover import HandoverTable

        return self._table("handover", HandoverTable)

    @cached_property
    def keeping(self) -> KeepingTable:
        """How the app looks after the record."""
        from logic.bench.tables.keeping import KeepingTable

        return self._table("keeping", KeepingTable)

    @cached_property
    def kit(self) -> KitTable:
        """In which steps tools are made."""
        from logic.bench.tables.kit import KitTable

        return self._table("kit", KitTable)

    @cached_property
    def kit_sizes(self) -> KitSizes:
        """What a kit is offered to hold."""
        from logic.bench.tables.kit import KitSizes

        return self._table("kit_sizes", KitSizes)

    @cached_property
    def labels(self) -> LabelTable:
        """A sheet of labels for instruments."""
        from logic.bench.tables.labels import LabelTable

        return self._table("labels", LabelTable)

    @cached_property
    def layout(self) -> LayoutTable:
        """Where the slots of a new nut go."""
        from logic.bench.tables.layout import LayoutTable

        return self._table("layout", LayoutTable)

    @cached_property
    def materials(self) -> MaterialTable:
        """What strings are made of."""
        from logic.physics.materials import MaterialTable

        return self._table("materials", MaterialTable)

    @cached_property
    def measurements(self) -> MeasurementTable:
        """How sure each way of measuring the instrument or its room is."""
        from logic.bench.tables.measurements import MeasurementTable

        return self._table("measurements", MeasurementTable)

    @cached_property
    def pace(self) -> PaceTable:
        """How far one bench's pace lies from the table's."""
        from logic.bench.tables.pace import PaceTable

        return self._table("pace", PaceTable)

    @cached_property
    def plausible(self) -> PlausibleTable:
        """What each quantity can be."""
        from logic.bench.tables.plausible import PlausibleTable

        return self._table("plausible", PlausibleTable)

    @cached_property
    def presets(self) -> PresetTable:
        """What an instrument of a kind is like when nobody has said."""
        from logic.bench.tables.presets import PresetTable

        return self._table("presets", PresetTable)

    @cached_property
    def quick_check(self) -> QuickCheckTable:
        """How strings stay and move between visits."""
        from logic.bench.tables.quick_check import QuickCheckTable

        return self._table("quick_check", QuickCheckTable)

    @cached_property
    def raising(self) -> RaisingTable:
        """The nut as a whole, and what each way of setting it right costs."""
        from logic.bench.tables.raising import RaisingTable

        return self._table("raising", RaisingTable)

    @cached_property
    def reading(self) -> ReadingTable:
        """How sure one answer is, and what is likely before any."""
        from logic.bench.tables.reading import ReadingTable

        return self._table("reading", ReadingTable)

    @cached_property
    def relief(self) -> ReliefTable:
        """How much relief necks have."""
        from logic.bench.tables.relief import ReliefTable

        return self._table("relief", ReliefTable)

    @cached_property
    def rules(self) -> RuleSet:
        """What is asked before anything is cut."""
        from logic.bench.tables.rules import RuleSet

        return self._table("rules", RuleSet)

    @cached_property
    def setup(self) -> SetupTable:
        """What a whole set-up aims at, and how its reading is led."""
        from logic.bench.tables.setup import SetupTable

        return self._table("setup", SetupTable)

    @cached_property
    def step_shifts(self) -> StepShiftTable:
        """What each step of a set-up moves, and when a reading is stale."""
        from logic.bench.tables.step_shifts import StepShiftTable

        return self._table("step_shifts", StepShiftTable)

    @cached_property
    def simulation(self) -> SimulationTable:
        """The set-up of the cutting benchmark."""
        from logic.bench.tables.simulation import SimulationTable

        return self._table("simulation", SimulationTable)

    @cached_property
    def string_sets(self) -> StringSetTable:
        """Usual sets of strings and usual tunings."""
        from logic.bench.tables.string_sets import StringSetTable

        return self._table("string_sets", StringSetTable)

    @cached_property
    def targets(self) -> TargetTable:
        """The first-fret clearance that common practice aims at."""
        from logic.bench.tables.targets import TargetTable

        return self._table("targets", TargetTable)

    @cached_property
    def tellings(self) -> TellingTable:
        """The words that people tell a fault in."""
        from logic.bench.tables.tellings import TellingTable

        return self._table("tellings", TellingTable)

    @cached_property
    def tonight(self) -> TonightTable:
        """What can be done at the side of a stage."""
        from logic.bench.tables.tonight import TonightTable

        return self._table("tonight", TonightTable)

    @cached_property
    def work(self) -> WorkTable:
        """What work that was done ends."""
        from logic.bench.tables.work import WorkTable

        return self._table("work", WorkTable)

    @cached_property
    def sample(self) -> str:
        """The sample job, as a job file: no table, but it ships with them."""
        return self.text_of(SAMPLE)

    def _table(self, name: str, model: type[_Model]) -> _Model:
        text = self.text_of(name)
        try:
            return model.model_validate_json(text)
        except ValidationError as error:
            from logic.bench.tables.written import refusal

            raise refusal(name, text, error) from error


def table_names() -> tuple[str, ...]:
    """The name of every table: of its attribute, and of its file without the ending."""
    entries = vars(TradeTables).items()
    return tuple(
        name for name, entry in entries if isinstance(entry, cached_property) and name != SAMPLE
    )
