"""Every operation on one open history, each with the others that it needs."""

from __future__ import annotations

from dataclasses import dataclass

from logic.history.operations.device_names import DeviceNames
from logic.history.operations.durability import Durability
from logic.history.operations.eraser import Eraser
from logic.history.operations.exporter import Exporter
from logic.history.operations.forks import Forks
from logic.history.operations.importer import Importer
from logic.history.operations.promises import Promises
from logic.history.operations.rebaser import Rebaser
from logic.history.operations.recorder import Recorder
from logic.history.operations.refills import Refills
from logic.history.operations.state import HistoryState


@dataclass(frozen=True)
class Operations:
    """Every operation on one open history."""

    recorder: Recorder
    names: DeviceNames
    durability: Durability
    importer: Importer
    exporter: Exporter
    promises: Promises
    refills: Refills
    eraser: Eraser
    rebaser: Rebaser
    forks: Forks

    @classmethod
    def on(cls, state: HistoryState, grace_ms: int) -> Operations:
        """The operations on `state`, each with the others that it needs."""
        recorder, exporter = Recorder(state), Exporter(state)
        promises = Promises(state, grace_ms)
        refills = Refills(state, promises)
        names = DeviceNames(state, recorder)
        importer = Importer(state, names, promises, refills)
        rebaser = Rebaser(state, names, importer, promises)
        return cls(
            recorder,
            names,
            Durability(state),
            importer,
            exporter,
            promises,
            refills,
            Eraser(state, recorder, exporter, promises, refills),
            rebaser,
            Forks(state, importer, rebaser, promises),
        )
