"""Strings by name: in a file that people write, a table by string is keyed by what they call it.

Strings are numbered from the treble side; a pair's are also called "6 octave" and "6 main". Records
of the app hold numbers alone.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BeforeValidator, ValidationInfo

from shared.errors import InputError
from shared.units import refused

STRING_READER = "string reader"
"""Under this name pydantic's validation context may hold a `StringReader`."""
StringReader = Callable[[Any], int]
"""The number of the string that is called so; InputError when none is."""


def _number(name: Any, info: ValidationInfo) -> Any:
    read = info.context.get(STRING_READER) if info.context else None
    try:
        return read(name) if read else name
    except InputError as error:
        raise refused("string", error) from error


StringKey = Annotated[int, BeforeValidator(_number)]
"""A string's number, as the key of a table by string."""
