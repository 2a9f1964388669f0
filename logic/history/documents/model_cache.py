"""Models of folded documents, cached by the entry that wrote each part.

A job is read after every tap, and all but the last answer is as it was. Entries never change, so
what one entry wrote is remembered under its id.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from logic.history.documents.bodies import JOB_FIELDS
from logic.history.documents.models import (
    FiledPass,
    JobDocument,
    Replaced,
    TakenMeasurement,
    TakenProof,
    TakenReading,
    TakenStep,
)
from shared.instrument import Instrument, Player
from shared.kit import Kit
from shared.record import Record

CACHED = 400
"""Values that are kept at least, more than a long job has; twice as many are kept at most."""
_LISTS: dict[str, type[Record]] = {
    "readings": TakenReading,
    "measurements": TakenMeasurement,
    "setup_steps": TakenStep,
    "passes": FiledPass,
    "proofs": TakenProof,
    "timeline": Replaced,
}
_FIELDS: dict[str, Callable[[Any], Any]] = {
    "instrument": Instrument.model_validate,
    "player": Player.model_validate,
    "kit": Kit.model_validate,
    "complaint": str,
}
Key = tuple[str, ...]
Made = TypeVar("Made")


class ModelCache:
    """Makes models of raw documents, reusing the parts made lately."""

    def __init__(self) -> None:
        self._recent: dict[Key, Any] = {}
        self._older: dict[Key, Any] = {}

    def job(self, document: dict[str, Any]) -> JobDocument:
        """The model of a raw job document."""
        made: dict[str, Any] = dict(document)
        for name, model in _LISTS.items():
            made[name] = tuple(self._item(name, model, item) for item in document.get(name, ()))
        for name in JOB_FIELDS:
            made[name] = self._field(document, name)
        return JobDocument.model_validate(made)

    def _item(self, name: str, model: type[Record], item: dict[str, Any]) -> Any:
        key = (name, item["event"], item.get("field", ""), item.get("replaced_by", ""))
        return self._cached(key, lambda: model.model_validate(item))

    def _field(self, document: dict[str, Any], name: str) -> Any:
        by = document["marks"][name]["event"]
        return self._cached((name, by), lambda: _FIELDS[name](document[name]))

    def _cached(self, key: Key, make: Callable[[], Made]) -> Made:
        """The value of `make`, or the one made for `key` lately. The least recent half is dropped
        when there are too many."""
        made: Made
        if key in self._recent:
            made = self._recent[key]
            return made
        made = self._older[key] if key in self._older else make()
        if len(self._recent) >= CACHED:
            self._older, self._recent = self._recent, {}
        self._recent[key] = made
        return made
