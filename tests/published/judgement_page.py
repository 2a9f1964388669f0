"""Writes `assets/docs/judgement.md` from a recorded run of whole visits.

    python -m logic simulate --jobs 10000 --json > tests/published/judgement.json
    python -m tests.published.judgement_page

The run takes its time; the page takes none. A test holds the page to the recorded run.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from logic.testing import TRADE
from logic.trade_loader import ASSETS

PAGE: Path = ASSETS / "docs" / "judgement.md"
RUN = Path(__file__).with_name("judgement.json")
VISITS = TRADE.simulation.visits

Run = dict[str, Any]
RULE_OF_THREE = 3.0
"""Where nothing happened in n tries, its chance is below 3/n at 95 %: (1 - p)^n = 0.05."""

INTRODUCTION = """
# How often the calls are right

This page is written from a recorded run (`python -m tests.published.judgement_page` says how), and
a test holds it to that run. {jobs:,} instruments that never existed, seed {seed}, were each visited
as the app has it: the owner complains, the questions are asked, the leaves that the app names are
slid in, the plan is read, what a cut rests on is looked at once more, the plan is carried out, and
what was put right is read again. Of all answers {wrong}
in a hundred are another one than the truth and {unsure} are *not sure*; a hand feels a leaf with
the spread of the leaf model and slips once in a hundred touches. Every fault below is in at least
one job of twenty, and three jobs of ten have two of them (`assets/simulation.json` holds every
figure of the set-up). It describes that set-up, not a shop.

A cut is **wrong** where metal came off a slot that, all else being sound, did not need it, or
where it left the string below its low edge. A string needs a cut where its slot holds it over its
window, or a thou and a half over its target with somebody who finds it too high.
"""

BESIDE = """
## Beside two plain habits

On the same instruments, one in five of them: cutting whatever stands over the table's figure, with
nothing asked; and asking every question there is. *Left low* are strings that the visit left lower
than stays clean; *left high* those whose slot still wants a cut, of all that *wanted* one. *Read
again* counts calls to read a string again of which nothing was untrue. Cuts *past a check* were
made while a check that bars them had failed or was not answered, relief and frets included.
"""

AIMS = """
## Aims

What was aimed at, and what the run came to. Wrong cuts come several at a time where one wrong
answer speaks of the whole instrument: a relief misread, the kind of nut, a saddle that nobody
measured. So each answer that a cut rests on is given twice before the first file, and a height that
one touch alone speaks for is touched again; that costs questions only where something is to be cut.
"""

CALLS = """
## Calls by stated confidence

Every call of every plan on the way, against what was true at that moment. *Check first* is right
where something besides the height of that slot was wrong.
"""

FAULTS = """
## Which faults are found, and what they are taken for

Found: it was put right on the way, a check that speaks of it failed, or the call for it was given.
What was named instead where it was not, with how often; *leave* means that nothing was named.
"""

LIMITS = """
## What this cannot say

Faults are as frequent here as the table makes them, not as they are in any shop; answers err alike
whatever is asked, and a second look errs independently of the first, which the same eye with the
same straight edge may not; nothing is learned about the player from visit to visit, and a tuner's
cents are not read. The truth uses the model of the window, moved by as much as good technicians
differ: an error of that model itself is not seen.
"""


def page(run: Run) -> str:
    """The whole page for a run."""
    introduction = INTRODUCTION.format(
        jobs=run["jobs"],
        seed=run["seed"],
        wrong=f"{100 * VISITS.wrong_answer_share:g}",
        unsure=f"{100 * VISITS.not_sure_share:g}",
    )
    parts = (
        introduction,
        BESIDE + "\n" + _habits(run),
        _wrong_cuts(run),
        AIMS + "\n" + _aims(run) + "\n\n" + _so_few(run),
        CALLS + "\n" + _calls(run) + "\n\n" + _sure(run),
        FAULTS + "\n" + _faults(run),
        LIMITS,
    )
    return "\n\n".join(part.strip() for part in parts) + "\n"


def _habits(run: Run) -> str:
    heads = (
        *("habit", "jobs", "wrong cuts per 1000 jobs", "jobs with one per 1000", "cuts per 1000"),
        *("past a check", "left low per 1000", "wanted a cut per 1000", "left high per 1000"),
        *("read again per 1000",),
        *("questions a job", "leaves a string"),
    )
    names = (
        *(
            "habit",
            "jobs",
            "wrong_cuts_per_1000",
            "jobs_with_a_wrong_cut_per_1000",
            "cuts_per_1000",
        ),
        *("cuts_past_a_check", "left_low_per_1000"),
        *("wanted_a_cut_per_1000", "left_high_per_1000"),
        *("read_again_needlessly_per_1000", "questions_a_job", "leaves_a_string"),
    )
    return _table(heads, ([f"{row[name]}" for name in names] for row in run["habits"]))


def _wrong_cuts(run: Run) -> str:
    rows = [
        (row["call"], row["why"], "yes" if row["sure"] else "no", f"{row['cuts']}")
        for row in run["wrong_cuts"]
    ]
    if not rows:
        return "Not one cut of ours was wrong."
    return "Ours that were wrong:\n\n" + _table(
        ("call", "why", "given at 95 % or more", "cuts"), rows
    )


def _so_few(run: Run) -> str:
    """What no wrong cut at all can say, and how the leaves come about."""
    ours = run["habits"][0]
    once = ours["leaves_a_string"] / ours["rounds_a_job"]
    leaves = (
        f"One reading of a string takes {once:.1f} leaves on average; as what was put right is "
        f"read anew, there are {ours['rounds_a_job']} rounds of reading a visit."
    )
    if ours["jobs_with_a_wrong_cut_per_1000"]:
        return leaves
    most = 1000.0 * RULE_OF_THREE / run["jobs"]
    return (
        f"No visit in {run['jobs']:,} with a wrong cut says, at 95 %, that there are fewer than "
        f"{most:.1f} such visits in 1,000 of these (the rule of three). {leaves}"
    )


def _aims(run: Run) -> str:
    ours, sure = run["habits"][0], run["sure_cuts"]
    rows = (
        ("wrong cuts per 1000 jobs", "at most 1", f"{ours['wrong_cuts_per_1000']}"),
        ("cuts past a check", "none", f"{ours['cuts_past_a_check']}"),
        ("questions a job", "at most 5", f"{ours['questions_a_job']}"),
        ("leaves a string", "at most 2.2", f"{ours['leaves_a_string']}"),
        (
            "right of the calls to cut at 95 % and more",
            "at least 97 %",
            _share(sure["right"], sure["given"]),
        ),
    )
    return _table(("", "aim", "run"), rows)


def _calls(run: Run) -> str:
    rows = [
        (
            row["call"],
            f"{100 * row['from']:.0f} to {100 * row['to']:.0f} %",
            f"{row['given']}",
            _share(row["right"], row["given"]),
        )
        for row in run["calls"]
    ]
    return _table(("call", "stated", "given", "right"), rows)


def _sure(run: Run) -> str:
    sure = run["sure_cuts"]
    right = _share(sure["right"], sure["given"])
    return f"Of {sure['given']} calls to cut that were given at 95 % or more, {right} were right."


def _faults(run: Run) -> str:
    rows = [
        (
            row["fault"],
            f"{row['jobs']}",
            _share(row["found"], row["jobs"]),
            f"{row['wrong_cuts']}",
            ", ".join(f"{other['as']} ({other['jobs']})" for other in row["taken_for"]),
        )
        for row in run["faults"]
    ]
    return _table(("fault", "jobs", "found", "wrong cuts", "taken for"), rows)


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.1f} %" if whole else "none"


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def recorded() -> Run:
    """The run that the page is written from."""
    run: Run = json.loads(RUN.read_text(encoding="utf-8"))
    return run


if __name__ == "__main__":
    PAGE.write_text(page(recorded()), encoding="utf-8")
