"""The trade tables: what stops a build, with file and line, and what a table costs and equals."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from pydantic import ValidationError

from logic.bench.tables.trade_tables import SAMPLE, TradeTables, table_names
from logic.bench.tables.vocabulary import RaiseMethod
from logic.bench.tables.written import check_written, entries
from logic.trade_loader import ASSETS, check_trade_tables, load_trade_tables, tables_in
from shared.errors import BuildError, TableError
from shared.units import LengthOf

TRADE = load_trade_tables()


@pytest.fixture
def assets(tmp_path: Path) -> Path:
    """A copy of the tables that a test may spoil."""
    for path in ASSETS.glob("*.json"):
        shutil.copy(path, tmp_path)
    return tmp_path


def spoil(folder: Path, name: str, old: str, new: str) -> int:
    """Write `new` for the one `old` of a table, and say in which line it stands."""
    path = folder / f"{name}.json"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    return text.count("\n", 0, text.index(old)) + 1


def test_the_tables_that_ship_are_whole() -> None:
    """Every table is as its model says, holds each entry once and shares no figure with another,
    and every file but the sample job is a table."""
    check_trade_tables()
    assert {path.stem for path in ASSETS.glob("*.json")} == {*table_names(), SAMPLE}


SPOILT = {
    "a figure without its source": (
        *("reading", '"film_mm": {"value": 0.00635, "source"', '"film_mm": {"value": 0.00635, "s"'),
        "film_mm: a figure is written",
    ),
    "a figure with an empty source": (
        *("kit", '"shim_step_mm": {"value": 0.05, "source": "common practice, no source"}'),
        '"shim_step_mm": {"value": 0.05, "source": " "}',
        "shim_step_mm: the source of this figure is empty",
    ),
    "a row without its source": (
        *("tonight", '"undo": "pull it out", "source": "common practice, no source"'),
        '"undo": "pull it out"',
        "first → 1: source is missing",
    ),
    "a bare number for a figure": (
        *("call", '"sure": {"value": 0.95, "source": "the usual 95 % level of measurement reports'),
        '"sure": 0.95, "x": {"source": "the usual 95 % level of measurement reports',
        "sure: a figure is written",
    ),
    "a misspelt entry": (
        *("pace", '"sd_log_job"', '"sd_log_jobs"'),
        "no such entry: sd_log_jobs",
    ),
    "a word where a number belongs": (
        *("files", '"narrowest_share": {"value": 0.70', '"narrowest_share": {"value": "most"'),
        "narrowest_share: Input should be a valid number",
    ),
    "a length without a unit": (
        *("relief", '"beyond_belief": {"value": "3 mm"', '"beyond_belief": {"value": "3"'),
        "beyond_belief: ",
    ),
    "a make that is of no known form": (
        *("materials", '"gut": {"form": "by modulus"', '"gut": {"form": "by guess"'),
        "makes → gut: Input tag 'by guess'",
    ),
}


@pytest.mark.parametrize("what", SPOILT)
def test_a_table_that_is_not_as_its_model_says_stops_the_build(what: str, assets: Path) -> None:
    """The error names the file, the line and the entry, and is one of those a build stops with."""
    name, old, new, problem = SPOILT[what]
    line = spoil(assets, name, old, new)
    with pytest.raises(TableError, match=f"assets/{name}.json, line {line}: ") as met:
        check_trade_tables(assets)
    assert problem in met.value.what
    assert isinstance(met.value, BuildError)
    assert (met.value.file, met.value.line) == (f"assets/{name}.json", line)


def test_broken_json_is_told_with_its_line(assets: Path) -> None:
    """A comma too many is a table like any other that cannot be read."""
    line = spoil(assets, "keeping", '  "erased_gone_after_days"', '  , "erased_gone_after_days"')
    with pytest.raises(TableError, match=f"assets/keeping.json, line {line}: "):
        check_trade_tables(assets)


def test_an_entry_written_twice_stops_the_build(assets: Path) -> None:
    """JSON takes the last of two entries of one name without a word; here it is refused."""
    again = '"square_fret": {"value": 9, "source": "x"},\n  "square_fret": '
    line = spoil(assets, "layout", '"square_fret": ', again)
    with pytest.raises(TableError) as met:
        check_trade_tables(assets)
    assert met.value.line == line + 1
    assert f"square_fret stands twice, first in line {line}" in met.value.what


def test_a_figure_with_two_homes_stops_the_build() -> None:
    """A figure of one name in two tables is one figure with two homes: the second is refused."""
    texts = {
        "call": '{"alike_mm": {"value": 0.08, "source": "x"}}',
        "rules": '{"about": "",\n "limits": {"alike_mm": {"value": 0.1, "source": "x"}}}',
    }
    with pytest.raises(
        TableError, match=r"assets/rules\.json, line 2: alike_mm stands in assets/c"
    ):
        check_written(texts, frozenset(texts))


@pytest.mark.parametrize(
    ("name", "old", "new", "problem"),
    [
        ("relief", '["mandolin"]', '["mandolin", "tenor banjo"]', "kind tenor banjo stands twice"),
        ("complaints", '"id": "pings"', '"id": "buzz open"', "id buzz open stands twice"),
    ],
)
def test_two_rows_for_one_thing_stop_the_build(
    name: str, old: str, new: str, problem: str, assets: Path
) -> None:
    """A kind in two families, or an id on two rows, would leave it to chance which one counts."""
    spoil(assets, name, old, new)
    with pytest.raises(TableError, match=problem):
        check_trade_tables(assets)


def test_a_file_that_no_table_reads_stops_the_build(assets: Path) -> None:
    """A table that is asked for nowhere is a mistake in its name."""
    (assets / "reliefs.json").write_text('{"about": "x"}', encoding="utf-8")
    with pytest.raises(TableError, match=r"assets/reliefs\.json, line 1: no table is read"):
        check_trade_tables(assets)


def counted(asked: list[str]) -> Callable[[str], str]:
    """The texts of the shipped tables, noting which were asked for."""

    def text_of(name: str) -> str:
        asked.append(name)
        return (ASSETS / f"{name}.json").read_text(encoding="utf-8")

    return text_of


def test_a_table_is_read_once_and_only_when_it_is_asked_for() -> None:
    """An app that starts reads no table that it does not need, and none twice."""
    asked: list[str] = []
    trade = TradeTables(counted(asked))
    assert asked == []
    assert trade.kit.most_named == trade.kit.most_named == 5
    assert asked == ["kit"]


def test_tables_equal_only_themselves() -> None:
    """Two readings of the same files are two sets, so nothing remembered by one serves another."""
    other = tables_in(ASSETS)
    assert load_trade_tables() == TRADE
    assert other != TRADE
    assert TRADE.reading != other.reading
    assert len({TRADE.reading, other.reading, TRADE.reading}) == 2


def test_a_table_stays_as_it_was_read() -> None:
    """Figures are not changed by the way."""
    with pytest.raises(ValidationError, match="frozen"):
        TRADE.reading.film_mm = 0.0  # type: ignore[misc]  # wrong on purpose


def test_tables_speak_of_every_word_of_their_vocabulary() -> None:
    """Each quantity has a range, and each way of raising has its costs."""
    assert set(TRADE.plausible.quantities) == set(LengthOf)
    assert set(TRADE.raising.methods) == set(RaiseMethod)


def test_every_entry_of_a_text_has_its_line() -> None:
    """Keys and places are counted as they are written, whatever stands in a text."""
    text = '{"a": [1, {"b": "}, \\"c\\": ["}],\n "d": {}, "a":\n [[2], []]}'
    assert list(entries(text)) == [
        *((("a",), 1), (("a", 0), 1), (("a", 1), 1), (("a", 1, "b"), 1), (("d",), 2)),
        *((("a",), 2), (("a", 0), 3), (("a", 0, 0), 3), (("a", 1), 3)),
    ]
