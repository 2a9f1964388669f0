"""Every check with every word that answers it, and what follows: the words of job files.

    python -m tests.stored_names.answers      adds what the file has not; nothing in it is replaced

A check has several names (`at_pitch` was `pitch_ok` once) and each answer several words; files that
are years old use any of them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from logic.bench.checks.gates import evaluate_gates
from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from logic.trade_loader import ASSETS
from shared.job import Gate, Job

KEPT = Path(__file__).parents[1] / "golden" / "present" / "answers.json"
Followed = dict[str, dict[str, list[str]]]
"""By check and word: the gates that the answer changes, as they then stand."""


def follows(check: str, word: str) -> list[str]:
    """The gates that stand otherwise once `check` was answered with `word`."""
    answered = _job().model_copy(update={"checks": {check: word}})
    return [gate for gate in _gates(answered) if gate not in _before()]


@cache
def _job() -> Job:
    readings = [{"string": string, "clearance": "0.60 mm"} for string in range(1, 7)]
    tree = {"instrument": {"kind": "electric guitar"}, "readings": readings}
    return read_job(json.dumps(tree), TRADE)[0]


@cache
def _before() -> frozenset[str]:
    return frozenset(_gates(_job()))


def _gates(job: Job) -> list[str]:
    return [_spelled(gate) for gate in evaluate_gates(job, TRADE)]


def _spelled(gate: Gate) -> str:
    forbids = ",".join(gate.forbids)
    return f"{gate.gate} is {gate.state}: {gate.reason}; imposes {gate.imposes}; bars {forbids}"


def kept() -> Followed:
    """What the golden file holds."""
    found: Followed = json.loads(KEPT.read_text(encoding="utf-8"))
    return found


def _words() -> Iterator[tuple[str, str]]:
    """Every check, under each of its names, with every word of its answers."""
    rules = json.loads((ASSETS / "rules.json").read_text(encoding="utf-8"))["rules"]
    for rule in rules:
        for option in rule["options"]:
            for word in filter(None, (option["id"], option.get("label"), *option.get("also", ()))):
                yield rule["id"], word
        for word in ("skipped", "unknown", "ok", "bad", "0.5 mm", "a word that nobody knows"):
            yield rule["id"], word
        for name, words in rule.get("also", {}).items():
            for word in ("yes", "no", *words):
                yield name, word


def write() -> None:
    """Add every check and word that the file has not yet."""
    found = kept() if KEPT.exists() else {}
    for check, word in _words():
        answers = found.setdefault(check, {})
        if word not in answers:
            answers[word] = follows(check, word)
    text = json.dumps(found, ensure_ascii=False, indent=1)
    KEPT.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    write()
