"""A length that comes alone or as two: one leaf or a stack, one radius or that of either end."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, ValidationInfo, ValidatorFunctionWrapHandler
from pydantic_core import CoreSchema, core_schema

from shared.units import Length, LengthOf, ReadAs


class OneOrTwo:
    """Annotation of `Length | tuple[Length, Length]`: on the wire one length, or a list of two."""

    def __init__(self, meant: LengthOf) -> None:
        self._one = ReadAs(meant)

    def __get_pydantic_core_schema__(
        self, _source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        one = Annotated[Length, self._one]
        return core_schema.with_info_wrap_validator_function(
            self._read,
            handler.generate_schema(tuple[one, one]),
            serialization=core_schema.plain_serializer_function_ser_schema(_spelled),
        )

    def _read(
        self, given: Any, read_two: ValidatorFunctionWrapHandler, info: ValidationInfo
    ) -> Any:
        return read_two(given) if isinstance(given, list | tuple) else self._one.read(given, info)


def _spelled(lengths: Length | tuple[Length, Length] | None) -> str | list[str] | None:
    if lengths is None:
        return None
    return list(map(str, lengths)) if isinstance(lengths, tuple) else str(lengths)
