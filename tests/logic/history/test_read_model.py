"""TinyDB over live tables behaves as TinyDB does, and one write costs one document."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tinydb import TinyDB, where
from tinydb.storages import MemoryStorage
from tinydb.table import Document

from logic.history.documents import model_cache
from logic.history.documents.read_model import LiveTable, ReadModel
from logic.history.snapshots.stored_documents import StoredTable
from tests.logic.history.factory import open_history, opened, reading

STEPS = st.lists(
    st.tuples(st.sampled_from(("put", "remove")), st.integers(1, 5), st.integers(0, 3)),
    max_size=25,
)


@settings(deadline=None, max_examples=100)
@given(steps=STEPS)
def test_the_live_table_answers_as_tinydbs_own(steps: list[tuple[str, int, int]]) -> None:
    """The same writes give the same documents, searches and counts as TinyDB's own table."""
    ours = ReadModel({"job": StoredTable("job")}).live("job")
    own = TinyDB(storage=MemoryStorage).table("job")
    for what, name, value in steps:
        if what == "put":
            ours.put(str(name), {"value": value})
            own.upsert(Document({"value": value}, name))
        else:
            ours.remove(where("value") == value)
            own.remove(where("value") == value)
    assert sorted((str(row.doc_id), row["value"]) for row in ours) == sorted(
        (str(row.doc_id), row["value"]) for row in own
    )
    for value in range(4):
        assert ours.count(where("value") == value) == own.count(where("value") == value)
    assert len(ours) == len(own)


def test_a_write_touches_its_own_document_and_no_other() -> None:
    """However many documents there are, putting one reads and writes that one."""

    class Counting(dict[str, Any]):
        touched = 0

        def __getitem__(self, name: str) -> Any:
            self.touched += 1
            return super().__getitem__(name)

        def __iter__(self) -> Any:
            raise AssertionError("a write went through every document")

    table = Counting({str(number): {"value": number} for number in range(1000)})
    live = ReadModel({"job": table}).live("job")
    live.put("500", {"value": -1})
    assert live.copy_of("500") == {"value": -1}
    assert live.copy_of("unknown") is None
    assert table.touched <= 2


def test_other_tables_can_be_put_in_whole() -> None:
    """The storage takes what TinyDB hands it, as when every table is dropped."""
    model = ReadModel({"job": {"a": {"x": 1}}})
    model.drop_tables()
    assert model.live("job").copy_of("a") is None
    assert isinstance(model.live("job"), LiveTable)


def test_what_is_forgotten_is_made_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """With next to no memory for models, jobs read the same."""
    history = open_history()
    history.record(*opened())
    for string in (1, 6, 1, 6):
        history.record(*reading(string))
    wanted = history.job("j1")
    monkeypatch.setattr(model_cache, "CACHED", 2)
    assert [history.job("j1") for _ in range(3)] == [wanted] * 3


def test_what_nobody_asks_for_any_more_is_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """However many jobs a day reads, the models kept are at most twice what is remembered, and
    what the job at hand is made of stays the same object from one reading to the next."""
    monkeypatch.setattr(model_cache, "CACHED", 20)
    history = open_history()
    for number in range(30):
        job = f"j{number}"
        history.record_all([opened(job), *(reading(string, job=job) for string in (1, 6, 1, 6))])
        before, after = history.job(job), history.job(job)
        assert before and after
        assert all(one is two for one, two in zip(before.readings, after.readings, strict=True))
        made = history.queries._models
        assert len(made._recent) <= 20
        assert len(made._older) <= 20
