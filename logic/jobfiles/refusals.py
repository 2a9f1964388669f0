"""Turns what the models refuse into one line a person can act on."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from logic.jobfiles.json_text import at
from shared.errors import JobFileError
from shared.words import mark, say

Model = TypeVar("Model", bound=BaseModel)

_OF_A_KEY = "[key]"
"""How pydantic ends the place of a fault in a key, after the key itself."""
_ASK = {
    "missing": mark("write it"),
    "enum": mark("write {expected}"),
    "literal_error": mark("write {expected}"),
    "int_type": mark("write a whole number"),
    "int_parsing": mark("write a whole number"),
    "int_from_float": mark("write a whole number"),
    "float_type": mark("write a number"),
    "float_parsing": mark("write a number"),
    "string_type": mark("write text in quotes"),
    "bool_type": mark("write true or false"),
    "bool_parsing": mark("write true or false"),
    "model_type": mark("write an object: {{…}}"),
    "model_attributes_type": mark("write an object: {{…}}"),
    "dict_type": mark("write an object: {{…}}"),
    "tuple_type": mark("write a list: […]"),
    "greater_than": mark("write a number above {gt}"),
    "greater_than_equal": mark("write a number of at least {ge}"),
    "less_than_equal": mark("write a number up to {le}"),
    "less_than": mark("write a number below {lt}"),
    "too_short": mark("list at least {min_length}"),
    "too_long": mark("list at most {max_length}"),
}


def validated(
    model: type[Model], tree: object, path: str = "", context: dict[str, Any] | None = None
) -> Model:
    """`tree` as a `model`, its lengths and names of strings read as `context` says. JobFileError
    about the first field that cannot be one."""
    try:
        return model.model_validate(tree, context=context)
    except ValidationError as error:
        raise refusal(error.errors(include_url=False)[0], path) from error


def refusal(found: ErrorDetails, path: str = "") -> JobFileError:
    """The line that says what one refusal of a model means."""
    for part in found["loc"]:
        if part != _OF_A_KEY:
            path = at(path, part)
    context = {name: _whole(value) for name, value in found.get("ctx", {}).items()}
    if found["type"] in ("length", "pitch", "string", "board"):
        return JobFileError(path, found["input"], context["ask"], what=context["what"])
    if found["type"] == "value_error":
        return JobFileError(
            path, "", str(context["error"]), what=say("does not say one clear thing")
        )
    known = _ASK.get(found["type"])
    ask = say(known).format(**context) if known else found["msg"]
    what = say("is missing") if found["type"] == "missing" else ""
    return JobFileError(path, found["input"], ask, what=what)


def _whole(value: Any) -> Any:
    """A limit without decimals that say nothing."""
    return int(value) if isinstance(value, float) and value.is_integer() else value
