"""The base of every trade table: closed schemas, and a source beside whatever could be disputed.

A figure stands in a table as `{"value": 0.01, "source": "…"}` and is read as the value alone; the
source stays in the file, where a person looks it up. "Common practice, no source" is a source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Annotated, Any, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, StringConstraints, model_validator
from pydantic_core import PydanticCustomError

Source = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
"""Where a figure or text comes from; never empty."""

_T = TypeVar("_T")
_WITH_SOURCE = "written with its source"
Figure = Annotated[_T, _WITH_SOURCE]
"""A figure or text that somebody could dispute, written with its source and read as its value."""


class Row(BaseModel):
    """A row of a table, or a group of its entries. A column that it does not know is refused."""

    # validators are made at first use: a table that nobody asks for costs nothing
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True, allow_inf_nan=False)


class SourcedRow(Row):
    """A row with one source for all it says."""

    source: Source


class RangedFigure(SourcedRow):
    """A figure and the range in which it was found."""

    value: float
    low: float
    high: float


class Figures(Row):
    """A group of entries, some of them figures. Each figure is written with its own source."""

    @model_validator(mode="before")
    @classmethod
    def _values(cls, written: Any) -> Any:
        if not isinstance(written, dict):
            return written
        return written | {
            name: _value(name, written[name]) for name in _figures(cls) & written.keys()
        }


class Table(Figures):
    """One file of `assets/`. A table equals only itself, so what is worked out from it can be
    remembered by it."""

    about: str
    """What the table holds, and in which units."""

    def __eq__(self, other: object) -> bool:
        return self is other

    def __hash__(self) -> int:
        return id(self)


@cache
def _figures(model: type[BaseModel]) -> frozenset[str]:
    """The entries of a model that are written with a source."""
    fields = model.model_fields.items()
    return frozenset(name for name, field in fields if _WITH_SOURCE in field.metadata)


def _value(name: str, figure: Any) -> Any:
    """What stands under `value`; PydanticCustomError, naming the entry, where it is not alone with
    its source."""
    if not isinstance(figure, dict) or figure.keys() != {"value", "source"}:
        raise _refused(name, 'a figure is written {"value": …, "source": "…"}, and nothing else')
    if not (isinstance(figure["source"], str) and figure["source"].strip()):
        raise _refused(name, "the source of this figure is empty")
    return figure["value"]


def _refused(name: str, why: str) -> PydanticCustomError:
    return PydanticCustomError("figure", "{why}", {"why": why, "entry": name})


def once(listed: Callable[[Any], Iterable[str]], what: str) -> AfterValidator:
    """Refuses rows of which two list the same name: `listed` gives the names of a row."""

    def check(rows: Sequence[Any]) -> Sequence[Any]:
        seen: set[str] = set()
        for name in (name for row in rows for name in listed(row)):
            if name in seen:
                raise PydanticCustomError("twice", f"{what} {{name}} stands twice", {"name": name})
            seen.add(name)
        return rows

    return AfterValidator(check)


EACH_KIND_ONCE = once(lambda row: row.kinds, "the kind")
"""For rows of which each kind of instrument finds one."""
EACH_ID_ONCE = once(lambda row: (row.id,), "the id")
"""For rows that are found by their id."""
