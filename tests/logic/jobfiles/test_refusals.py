"""Refusals of the models, in plain words."""

from typing import Annotated, Literal

import pytest
from pydantic import BaseModel, Field

from logic.jobfiles.refusals import validated
from shared.errors import JobFileError
from shared.instrument import Attack
from shared.pitch import Pitch
from shared.units import Length


class Form(BaseModel):
    """One field of each kind that a job has."""

    count: Annotated[int, Field(ge=1, le=4)] = 1
    share: Annotated[float, Field(gt=0)] = 1.0
    name: str = ""
    done: bool = False
    attack: Attack = Attack.MEDIUM
    version: Literal[1] = 1
    pitch: Pitch | None = None
    length: Length | None = None
    many: tuple[int, ...] = Field(default=(), max_length=2)
    odd: Annotated[str, Field(pattern=r"^\{\}$")] = "{}"


@pytest.mark.parametrize(
    ("tree", "line"),
    [
        ({"count": "two"}, "here.count: cannot use 'two'. write a whole number"),
        ({"count": 0}, "write a number of at least 1"),
        ({"count": 9}, "write a number up to 4"),
        ({"share": 0}, "write a number above 0"),
        ({"name": 3}, "write text in quotes"),
        ({"done": "later"}, "write true or false"),
        ({"attack": "wild"}, "write 'light', 'medium' or 'heavy'"),
        ({"version": 2}, "write 1"),
        ({"pitch": "E"}, "say its octave"),
        ({"length": "46"}, "here.length: no unit in 46"),
        ({"many": 3}, "write a list: […]"),
        ({"many": [1, "x"]}, "here.many[1]: cannot use 'x'"),
        ({"many": [1, 2, 3]}, "list at most 2"),
        ({"odd": "even"}, "String should match pattern"),
        ([], "here: cannot use '[]'. write an object: {…}"),
    ],
)
def test_each_refusal_says_what_would_do(tree: object, line: str) -> None:
    """The first field that cannot be used is named by its path, with what to write instead."""
    with pytest.raises(JobFileError) as caught:
        validated(Form, tree, "here")
    assert line in str(caught.value)


def test_what_is_missing_is_called_missing() -> None:
    """A field without which there is nothing is asked for by name."""

    class Needs(BaseModel):
        kind: str

    with pytest.raises(JobFileError, match=r"here\.kind: is missing\. write it"):
        validated(Needs, {}, "here")


def test_what_can_be_used_is_returned() -> None:
    """A good tree becomes the model."""
    assert validated(Form, {"count": 2}).count == 2
