"""The base of every model: frozen, and it keeps fields that it does not know."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Mapping
from typing import Any, Self

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, PydanticCustomError, core_schema


class Record(BaseModel):
    """A value. Unknown fields survive a round trip, so an older app never strips a newer file."""

    # Validators are made at first use: making all of them costs a third of the app's own start.
    model_config = ConfigDict(extra="allow", frozen=True, allow_inf_nan=False, defer_build=True)


class InKinds(Record):
    """A value that comes in kinds. Its direct subclass stands for any of them: as the type of a
    field it is read as the kind that `kind_of` names and written as what it is. The kinds, its
    subclasses, are what is made and handed about."""

    @classmethod
    @abstractmethod
    def kind_of(cls, given: Mapping[str, Any]) -> type[Self]:
        """The kind that `given`, in which nothing is null, is of. ValueError when it is none."""

    @classmethod
    def check_fields(cls, given: dict[str, Any], context: Any) -> None:
        """Called where `kind_of` finds none, so that a fault of one field can be named first."""

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Of a kind its own schema; of what stands for all kinds one that finds out which."""
        if InKinds not in cls.__bases__:
            return handler(source)
        return core_schema.with_info_plain_validator_function(
            cls._read, serialization=core_schema.simple_ser_schema("any")
        )

    @classmethod
    def _read(cls, given: Any, info: ValidationInfo) -> Any:
        if isinstance(given, cls):
            return given
        if not isinstance(given, dict):
            raise PydanticCustomError("model_type", "Input should be an object")
        held = given
        if None in given.values():
            held = {name: value for name, value in given.items() if value is not None}
        try:
            kind = cls.kind_of(held)
        except ValueError:
            cls.check_fields(held, info.context)
            raise
        if held is not given:
            # another kind's field that is null, as older versions wrote it, is as good as left out
            held |= {name: None for name in given if name in kind.model_fields and name not in held}
        return kind.model_validate(held, context=info.context)
