"""How often strings were tuned again, and when that is asked: once for each change of tension."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from logic.app.presenters.retunings import asks_in_tune_again, is_in_tune, retunings
from shared.events import Event, Kind
from tests.logic.app.apps import events, fresh_app, start

TUNED, TURNED, READ = "tuned", "turned", "read"


def recorded(what: str, number: int, like: Event) -> Event:
    """An entry of a visit: that it is in tune, that the rod was turned, or what was read."""
    bodies: dict[str, tuple[Kind, dict[str, object]]] = {
        TUNED: (Kind.CHECK_ANSWERED, {"gate": "at_pitch", "string": None, "answer": "yes"}),
        TURNED: (Kind.SETUP_STEP, {"step": {"step": "turn"}}),
        READ: (Kind.READING_TAKEN, {"reading": {}}),
    }
    kind, body = bodies[what]
    return replace(like, seq=number, kind=kind, body={"job": "j", **body})


def one_event() -> Event:
    """Any entry, to make others like it."""
    app = fresh_app()
    start(app)
    return events(app)[0]


LIKE = one_event()


@given(st.lists(st.sampled_from((TUNED, TURNED, READ)), max_size=30))
def test_it_is_tuned_at_most_once_for_each_change(story: list[str]) -> None:
    """Never more often than something changed the tension; exactly once for each run of changes
    that somebody tuned after."""
    entries = [recorded(what, number, LIKE) for number, what in enumerate(story, 1)]
    count = retunings(entries, ())
    assert count <= story.count(TURNED)
    pairs = [what for what in story if what != READ]
    assert count == sum(now == TUNED and was == TURNED for was, now in pairwise(pairs))


def test_what_was_taken_back_counts_for_nothing() -> None:
    """A turn that was undone asks for no tuning."""
    entries = [recorded(what, number, LIKE) for number, what in enumerate((TURNED, TUNED), 1)]
    assert retunings(entries, ()) == 1
    assert retunings(entries, (entries[0].id,)) == 0


def test_a_visit_where_nothing_moved_asks_for_no_tuning() -> None:
    """Nobody said that it is in tune, and nobody is asked again."""
    app = fresh_app()
    start(app)
    document = app.session.work.document
    assert not is_in_tune(document) and not asks_in_tune_again(document)
