"""The link of a label: an address, a #, and a code that says nothing."""

from __future__ import annotations

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.label import code_in_link, label_code, label_link

ADDRESS = "https://bench.example/shop/"
IDS = st.text(min_size=1, max_size=60)


def test_an_id_that_was_drawn_by_lot_is_its_own_code() -> None:
    """What the app gives an instrument is sixteen hexadecimal digits, which say nothing of it."""
    assert label_link(ADDRESS, "0123456789abcdef") == f"{ADDRESS}#i=0123456789abcdef"


@given(name=IDS)
def test_any_other_id_is_not_shown(name: str) -> None:
    """Its code is as long, of hexadecimal digits, the same each time, and does not hold it."""
    code = label_code(name)
    assert len(code) == 16 and set(code) <= set("0123456789abcdef")
    assert code == label_code(name)
    if len(name) > 3 and not set(name) <= set(string.hexdigits):
        assert name not in code


@given(name=IDS, other=IDS)
def test_two_instruments_have_two_codes(name: str, other: str) -> None:
    """No two ids have one code."""
    assert (label_code(name) == label_code(other)) is (name == other)


@given(name=IDS)
def test_the_code_is_read_out_of_its_link(name: str) -> None:
    """At whatever address the label was printed for."""
    for address in (ADDRESS, "http://127.0.0.1:8000/"):
        assert code_in_link(label_link(address, name)) == label_code(name)


@pytest.mark.parametrize(
    "text", ["", "hello", f"{ADDRESS}#join=AAAA-BBBB", f"{ADDRESS}#i=", "i=12"]
)
def test_what_is_no_label_has_no_code(text: str) -> None:
    """Another square picture, such as that of a joining code, is told apart."""
    assert code_in_link(text) == ""
