"""Commands and options, as people's scripts and notes have them."""

from __future__ import annotations

import argparse
import re
from importlib import import_module
from pathlib import Path

import pytest

from logic.cli import COMMANDS
from logic.cli.history import folder_of
from logic.cli.job_input import unit_of
from mobile.publish.commands import main as publish
from shared.bootstrap import ROOT
from shared.units import Unit
from tests.logic.test_command_line import run_main

WHAT_IF = {"--attack", "--tune", "--gauge", "--target", "--relief", "--budget"}
OPTIONS: dict[str, set[str]] = {
    "plan": {"JOB.json", "--unit", "--json", *WHAT_IF},
    "cut": {"JOB.json", "--unit", "--json", "--string"},
    "handover": {
        *("JOB.json", "--unit", "--bench", "--workshop", "--technician", "--date", "--paper"),
        "--pdf",
    },
    "layout": {
        *("JOB.json", "--unit", "--json", "--spacing", "--margin", "--pair-gap", "--paper"),
        *("--svg", "--pdf"),
    },
    "labels": {"FILE", "--address", "--paper", "--instrument", "--folder"},
    "simulate": {"--slots", "--jobs", "--seed", "--known", "--unknown", "--strained", "--json"},
    "pitch": {"JOB.json", "--unit", "--json", *WHAT_IF},
    "checks": {"--complaint", "--kind", "--json"},
    "history": {"FILE", "--folder", "--csv", "--job", "--instrument", "--erasures"},
    "sync": {"HUB", "CODE", "--label", "--folder", "--trust"},
    "hub": {
        *("--store", "--host", "--port", "--cert", "--key", "--app", "--proxy", "--origin"),
        "--check-every",
    },
}
CHOICES: dict[str, dict[str, set[str]]] = {
    "plan": {"unit": {"thou", "mm", "in"}, "attack": {"light", "medium", "heavy"}},
    "cut": {"unit": {"thou", "mm", "in"}},
    "handover": {"unit": {"thou", "mm", "in"}, "paper": {"a4", "letter"}},
    "layout": {
        "unit": {"thou", "mm", "in"},
        "paper": {"a4", "letter"},
        "spacing": {"equal-gaps", "graduated", "equal-centres"},
    },
    "labels": {"paper": {"a4", "letter"}},
    "pitch": {"unit": {"thou", "mm", "in"}, "attack": {"light", "medium", "heavy"}},
    "history": {"do": {"check", "export", "import", "promised", "keep", "let-go"}},
    "sync": {"do": {"meet", "join", "leave", "rotate"}},
    "hub": {
        "job": {
            *("bench", "code", "devices", "revoke", "export", "check", "restored", "purge"),
            *("forget", "rotate", "backup", "restore", "audit", "limits"),
        },
    },
}
HUB_JOBS: dict[str, tuple[str, ...]] = {
    "bench": ("name", "--address", "--store"),
    "code": ("bench", "--address", "--read-only", "--store"),
    "devices": ("bench", "--store"),
    "revoke": ("bench", "device", "--store"),
    "export": ("bench", "file", "--without-erasures", "--store"),
    "check": ("file", "--store"),
    "restored": ("--store",),
    "purge": ("--store",),
    "forget": ("bench", "--really", "--store"),
    "rotate": ("bench", "device", "--store"),
    "backup": ("file", "--store"),
    "restore": ("file", "--store"),
    "audit": ("bench", "--days", "--json", "--store"),
    "limits": (
        *("bench", "--entries", "--megabytes", "--key-days", "--aside-days", "--erasure-days"),
        "--store",
    ),
}


class Recorder(argparse.ArgumentParser):
    """A parser that remembers what a command asks of it, also what help keeps quiet about."""

    def actions(self) -> list[argparse.Action]:
        """Everything that can be written after the command."""
        return self._actions


def parser_of(command: str) -> Recorder:
    """The parser that a command fills in."""
    parser = Recorder(prog=command, add_help=False)
    import_module(f"logic.cli.{command}").arguments(parser)
    return parser


def test_every_command_keeps_its_name() -> None:
    """What can be written after `python -m logic`."""
    assert set(COMMANDS) >= set(OPTIONS)


@pytest.mark.parametrize("command", OPTIONS)
def test_every_option_keeps_its_name(command: str) -> None:
    """Each option and argument of a command, and each word that can be chosen for one."""
    actions = parser_of(command).actions()
    written = {name for action in actions for name in action.option_strings}
    written |= {str(action.metavar) for action in actions if not action.option_strings}
    assert written >= OPTIONS[command]
    choices = {action.dest: set(action.choices) for action in actions if action.choices}
    for name, words in CHOICES.get(command, {}).items():
        assert choices[name] >= words, name


@pytest.mark.parametrize("command", OPTIONS)
def test_every_command_takes_a_language(command: str) -> None:
    """`--language en` and `--language de` after any command."""
    done = run_main([command, "--help"])
    assert done.code == 0
    assert "--language {en,de}" in done.out


@pytest.mark.parametrize("job", HUB_JOBS)
def test_every_job_of_a_hub_keeps_its_options(job: str) -> None:
    """What can be written after `python -m logic hub`."""
    done = run_main(["hub", job, "--help"])
    assert done.code == 0
    written = set(re.findall(r"--[a-z-]+|^  ([a-z]+)$", done.out, re.MULTILINE))
    written |= set(re.findall(r"--[a-z-]+", done.out))
    for name in (*HUB_JOBS[job], "--language"):
        assert name in written, done.out


def test_what_is_not_said_stays_what_it_was() -> None:
    """Defaults that scripts rely on by leaving an option out."""
    hub = parser_of("hub").parse_args([])
    assert (hub.host, hub.port, hub.store) == ("127.0.0.1", 8443, None)
    simulate = parser_of("simulate").parse_args([])
    assert (simulate.slots, simulate.seed) == (10_000, 1)
    assert unit_of(parser_of("plan").parse_args(["-"])) is Unit.THOU
    assert parser_of("checks").parse_args([]).kind == "electric guitar"
    assert parser_of("sync").parse_args([]).do == "meet"


def test_the_environment_is_asked_by_the_same_names(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """NUTWRIGHT_HISTORY, else the folder below XDG_DATA_HOME; the hub's store and the trace."""
    options = argparse.Namespace(folder=None)
    monkeypatch.setenv("NUTWRIGHT_HISTORY", str(tmp_path / "h"))
    assert folder_of(options) == tmp_path / "h"
    monkeypatch.delenv("NUTWRIGHT_HISTORY")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert folder_of(options) == tmp_path / "nutwright" / "history"
    asked = [
        name
        for path in (ROOT / "logic").rglob("*.py")
        for name in re.findall(r'environ\.get\("(\w+)"\)', path.read_text(encoding="utf-8"))
    ]
    assert {"NUTWRIGHT_STORE", "NUTWRIGHT_TRACE", "NUTWRIGHT_HISTORY"} <= set(asked)


@pytest.mark.parametrize(
    ("command", "options"),
    [
        ((), {"--port", "--at", "--no-open", "build", "serve", "tombstone", "recover", "digest"}),
        (("build",), {"--out", "--base", "--hub", "--after"}),
        (("recover",), {"--out", "--base", "--hub", "--worker"}),
        (("digest",), {"site"}),
        (("serve",), {"site", "--port", "--at", "--no-open"}),
        (("tombstone",), {"--out", "--base"}),
    ],
    ids=["bare", "build", "recover", "digest", "serve", "tombstone"],
)
def test_the_publishers_commands_keep_their_options(
    command: tuple[str, ...], options: set[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """What can be written after `python -m mobile`."""
    with pytest.raises(SystemExit) as left:
        publish([*command, "--help"])
    assert left.value.code == 0
    assert set(re.findall(r"--[a-z-]+|\b[a-z]+\b", capsys.readouterr().out)) >= options
