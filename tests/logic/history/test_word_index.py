"""Finding instruments by the beginnings of words: as a search of all would, and after a restart."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history.documents.word_index import WordIndex
from logic.history.history import History
from logic.history.storage.store import MemoryDirectory
from logic.jobfiles.reading import preset_instrument
from logic.testing import TRADE
from shared.events import Kind

words_of = st.text("abc -", max_size=6)


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.integers(0, 5), st.one_of(st.none(), words_of), words_of), max_size=20),
    words_of,
    st.integers(0, 3),
    st.integers(0, 4),
)
def test_the_index_finds_what_looking_at_every_one_finds(
    changes: list[tuple[int, str | None, str]], asked: str, first: int, most: int
) -> None:
    """However instruments came, changed and went, the index agrees with a search of all."""
    index = WordIndex()
    lines: dict[str, dict[str, Any]] = {}
    for words in ("", "a"):
        index.find(words, lines, 0, 30)
    for number, label, owner in changes:
        name = str(number)
        line = None if label is None else {"label": label, "kind": "k", "owner": owner}
        index.update(name, lines.pop(name, None), line)
        if line is not None:
            lines[name] = line
    wanted = sorted(
        (name for name, line in lines.items() if _has(line, asked)),
        key=lambda name: ((lines[name]["label"] or lines[name]["kind"]).casefold(), name),
    )
    assert index.find(asked, lines, first, most) == (wanted[first : first + most], len(wanted))


def _has(line: dict[str, Any], asked: str) -> bool:
    words = " ".join(line.values()).casefold().replace("-", " ").split()
    return all(
        any(word.startswith(start) for word in words)
        for start in asked.casefold().replace("-", " ").split()
    )


def test_the_list_is_found_again_after_a_restart() -> None:
    """A search answers from the snapshot as from the events, owner's tags included."""
    directory = MemoryDirectory()
    history = History.open(directory)
    guitar = preset_instrument("electric guitar", TRADE)
    value = guitar.model_copy(update={"label": "Blue", "owner": "Alder Row"})
    history.record(Kind.INSTRUMENT_SAVED, {"instrument": "x", "value": value})
    history.save_snapshot()
    history.close()
    (line,), total = History.open(directory).find_instruments("row", 0, 30)
    assert (line.id, line.owner, total) == ("x", "Alder Row", 1)
