"""Whatever is handed in as a job file is read or refused in one clear line."""

import copy
import json
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.tables.trade_tables import TradeTables
from logic.jobfiles.reading import read_job
from logic.trade_loader import ASSETS
from shared.errors import JobFileError
from shared.job import Job
from tests.logic.jobfiles.test_reading import ELECTRIC, TRADE, WHOLE


def test_the_tables_are_read_from_assets() -> None:
    """Presets and ranges are data beside the code, not figures in it."""
    written = json.loads((ASSETS / "presets.json").read_text("utf-8"))
    assert list(TRADE.presets.kinds) == list(written["kinds"])
    assert isinstance(TRADE, TradeTables)


scalars = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=20),
    st.sampled_from(["18 mm", "46", "6 octave", "E2", "0.46 mm", "-1 in", "1/0 in", "light"]),
)
anything = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=8,
)


def places(tree: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The path of every value in `tree`."""
    inside = tree.items() if isinstance(tree, dict) else enumerate(tree)
    found = [path] if path else []
    if isinstance(tree, dict | list):
        for key, value in inside:
            found += (
                places(value, (*path, key)) if isinstance(value, dict | list) else [(*path, key)]
            )
    return found


PLACES = places(WHOLE)


def only_complains(text: str | bytes) -> Job | None:
    """The job, or None when it was refused in one line; anything else fails the test."""
    try:
        return read_job(text, TRADE)[0]
    except JobFileError as error:
        assert len(str(error).splitlines()) == 1
        assert error.ask
        return None


@given(place=st.sampled_from(PLACES), value=anything, drop=st.booleans())
@settings(deadline=None, max_examples=300)
def test_one_wrong_field_never_escapes(place: tuple[Any, ...], value: Any, drop: bool) -> None:
    """Whatever stands in one field of a good job, the job is read or refused in one line."""
    job = copy.deepcopy(WHOLE)
    inner: Any = job
    for key in place[:-1]:
        inner = inner[key]
    if drop:
        del inner[place[-1]]
    else:
        inner[place[-1]] = value
    only_complains(json.dumps(job))


@given(tree=anything)
@settings(deadline=None, max_examples=150)
def test_any_json_is_read_or_refused(tree: Any) -> None:
    """Random JSON never gets past the door in a way nobody planned."""
    only_complains(json.dumps(tree))
    only_complains(json.dumps({"instrument": tree}))
    only_complains(json.dumps({**ELECTRIC, "readings": [tree], "kit": tree}))


@given(junk=st.binary(max_size=200), start=st.integers(0, 400), length=st.integers(0, 40))
@settings(deadline=None, max_examples=200)
def test_any_bytes_are_read_or_refused(junk: bytes, start: int, length: int) -> None:
    """A file damaged anywhere, or no file at all, ends in one line."""
    whole = json.dumps(WHOLE).encode()
    only_complains(junk)
    only_complains(whole[:start] + junk + whole[start + length :])
