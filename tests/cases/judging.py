"""Reads a case and says where a plan departs from what repairers would do.

A case stands beside its job, under `case`: what was `told`, its `source`, the `calls` for each
string (one, or several where repairers differ), and what else the account turns on:

asks               questions that must have been asked, answered or concluded
open               questions that must still be open
never              calls that no string may get
options            ways of raising that must be offered
recommended        the one way that must be recommended
never_recommended  ways that must not be recommended
never_offered      ways that must not be offered at all
one_verdict        strings that must get one call between them, because the part is one
no_amount          no string may get an amount to add
surest             how sure the call of a string may be at most
longest_minutes    the longest that an option offered may take
advice, cautions, says, anywhere   words that must stand there
may_be_refused     the field for which a refusal of the whole job is right as well
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from logic.bench.checks.gates import next_questions
from logic.bench.plan.plan import make_plan
from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from shared.errors import JobFileError
from shared.job import Job

HERE = Path(__file__).parent
Written = dict[str, Any]
"""A case as its file holds it."""


class Judged:
    """One case beside its plan, or beside the refusal of its job."""

    def __init__(self, path: Path) -> None:
        text = path.read_text(encoding="utf-8")
        self.written: Written = json.loads(text)
        self.told: Written = self.written["case"]
        self.refusal = ""
        self.plan: Written = {}
        self.known: frozenset[str] = frozenset()
        try:
            self.job, assumed = read_job(text, TRADE)
        except JobFileError as error:
            self.refusal = str(error)
            return
        self.plan = make_plan(self.job, TRADE, assumed).model_dump(mode="json")
        answered = {gate["gate"] for gate in self.plan["gates"]}
        self.known = frozenset(answered | {q.gate for q in next_questions(self.job, TRADE)})

    @property
    def rightly_refused(self) -> bool:
        """Whether the job was refused, and for the field that the case names."""
        field = self.told.get("may_be_refused", "")
        return bool(self.refusal and field and field in self.refusal)


@lru_cache(maxsize=512)
def judged(path: Path) -> Judged:
    """The case at `path`, planned once for all tests."""
    return Judged(path)


def expected_calls(written: Written, job: Job) -> dict[int, set[str]]:
    """The calls that would be right, by string number."""
    return {
        job.instrument.number_of(name): {calls} if isinstance(calls, str) else set(calls)
        for name, calls in written["case"]["calls"].items()
    }


def wrong_calls(case: Judged) -> Iterator[str]:
    """Strings whose call no repairer would give, and calls that may not appear at all."""
    rows = {row["string"]: row for row in case.plan["strings"]}
    for string, right in expected_calls(case.written, case.job).items():
        if rows[string]["call"] not in right:
            yield f"string {string}: {_said(rows[string])}, right is {' or '.join(sorted(right))}"
    for string, row in rows.items():
        if row["call"] in case.told.get("never", ()):
            yield f"string {string}: never {_said(row)}"
    together = {rows[case.job.instrument.number_of(n)]["call"] for n in _list(case, "one_verdict")}
    if len(together) > 1:
        yield f"one part, several calls: {sorted(together)}"
    for name, most in case.told.get("surest", {}).items():
        if (row := rows[case.job.instrument.number_of(name)])["confidence"] > most:
            yield f"string {name}: {_said(row)} at {row['confidence']}, at most {most} is honest"
    if case.told.get("no_amount") and any(row["raise_mm"] for row in rows.values()):
        yield "an amount to add, with nothing measured"


def unasked(case: Judged) -> set[str]:
    """Questions that the account turns on and that nobody would have heard."""
    still_open = {gate["gate"] for gate in case.plan["gates"] if gate["state"] == "open"}
    return (set(_list(case, "asks")) - case.known) | (set(_list(case, "open")) - still_open)


def wrong_advice(case: Judged) -> Iterator[str]:
    """Ways of raising that are missing or out of place, and words that are missing."""
    options = case.plan["nut"]["options"]
    offered = {option["method"] for option in options}
    recommended = [option["method"] for option in options if option["recommended"]]
    wanted = case.told.get("recommended")
    if wanted and recommended != [wanted]:
        yield f"recommended {recommended}, right is {wanted}"
    yield from (f"{way} is not offered" for way in set(_list(case, "options")) - offered)
    for way in set(_list(case, "never_offered")) & offered:
        yield f"{way} is offered"
    for way in set(_list(case, "never_recommended")) & set(recommended):
        yield f"{way} is recommended"
    longest = case.told.get("longest_minutes", float("inf"))
    yield from (
        f"{option['method']} takes {option['minutes']} minutes"
        for option in options
        if (option["minutes"] or 0) > longest
    )
    yield from (f"{word!r} is not said" for word in _unsaid(case))


def _unsaid(case: Judged) -> Iterator[str]:
    places = {
        "advice": case.plan["nut"]["advice"],
        "cautions": " ".join(case.plan["cautions"]),
        "says": " ".join(row["reason"] + row["why"] for row in case.plan["strings"]),
        "anywhere": json.dumps(case.plan, ensure_ascii=False),
    }
    for place, text in places.items():
        yield from (word for word in _list(case, place) if word not in text)


def _list(case: Judged, field: str) -> list[str]:
    given = case.told.get(field, [])
    return [given] if isinstance(given, str) else list(given)


def _said(row: Written) -> str:
    return f"{row['call']} ({row['reason']}: {row['why']})"
