"""What a device keeps about its hub: where it is, the key, and how far they had come.

Kept beside the history in two files written in turn, so that one of them is always whole. It is in
no export: a history file passed by hand lets nobody in.
"""

from __future__ import annotations

from pydantic import Field, ValidationError

from logic.history.journal.frame import Frame, encode, scan
from logic.history.journal.spans import Spans
from logic.history.storage.store import Directory, NotOpened, read_all
from logic.sync.wire import Have, Refused, Role
from shared.errors import StorageUnavailable
from shared.record import Record
from shared.words import say

SLOTS = ("hub-a.txt", "hub-b.txt")


class Pairing(Record):
    """One device at one hub. Its keys are secrets: they are shown to nobody but the hub."""

    address: str
    bench: str
    bench_name: str
    label: str
    key: str
    former_key: str = ""
    """The key before it: what a hub knows that was played back from a backup of before."""
    role: str = Role.FULL
    epoch: str = ""
    last_ok_ms: int = 0
    on_hub: Have = Field(default_factory=dict)
    """What the hub held when it was last heard."""
    passed_over: Have = Field(default_factory=dict)
    refused: tuple[Refused, ...] = ()
    via: dict[str, str] = Field(default_factory=dict)
    """By device name, what the device is called that brought its entries to the hub by file."""

    wrote_as: tuple[str, ...] = ()
    """Names that this device wrote under since it knows this hub."""

    def at_hub(self) -> Spans:
        """`on_hub` as a set of event numbers."""
        return Spans(self.on_hub)


class PairingFile:
    """The pairing of the history in `directory`."""

    def __init__(self, directory: Directory) -> None:
        self._directory = directory
        self._generation = 0

    async def load(self) -> Pairing | None:
        """The pairing, or None when this device has none or left."""
        await self._directory.settle(SLOTS)
        found = [each for slot in SLOTS if (each := self._read(slot)) is not None]
        if not found:
            return None
        self._generation, body = max(found, key=lambda each: each[0])
        try:
            return Pairing.model_validate(body) if body else None
        except ValidationError:
            return None  # written by a newer Nutwright in a way that this one cannot read

    async def save(self, pairing: Pairing | None) -> None:
        """Keep `pairing`; None forgets it. StorageUnavailable when that cannot be done."""
        body = pairing.model_dump(mode="json") if pairing else {}
        try:
            await self._directory.settle(SLOTS)
            for _ in SLOTS if pairing is None else SLOTS[:1]:  # a key that is gone leaves no copy
                self._write(body)
            await self._directory.settle()
        except (OSError, NotOpened) as error:
            raise StorageUnavailable(
                say("The pairing with the hub could not be written ({why})", why=error),
                safe=say("The history is untouched."),
                next=say("Free some space on this device and try again."),
            ) from error

    def _write(self, body: dict[str, object]) -> None:
        self._generation += 1
        store = self._directory.open(SLOTS[self._generation % 2])
        store.truncate(0)
        store.append(encode({"generation": self._generation, "pairing": body}))
        store.flush()

    def _read(self, slot: str) -> tuple[int, dict[str, object]] | None:
        if slot not in self._directory.names():
            return None
        frame = next(scan(read_all(self._directory.open(slot))), None)
        if not isinstance(frame, Frame):
            return None
        generation, body = frame.payload.get("generation"), frame.payload.get("pairing")
        if isinstance(generation, int) and isinstance(body, dict):
            return generation, body
        return None
