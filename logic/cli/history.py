"""Checks, exports and imports the history of this machine.

check FILE     look through a history file, or a folder of one, and change nothing
export FILE    write this machine's history to FILE (--csv: its readings, for a spreadsheet)
import FILE    take the entries of a history file in; doing it twice changes nothing

FILE may be - for standard input or output. This machine's history is in the folder that --folder
or NUTWRIGHT_HISTORY names, else in .local/share/nutwright/history of your home folder.
check ends with exit code 1 when something is wrong with the history."""

from __future__ import annotations

import argparse
import os
import sys
from contextlib import closing
from pathlib import Path

from logic.history import FileDirectory, History
from logic.history.checking import Findings, check_file, check_journal
from logic.history.documents.bodies import DocumentKey
from logic.history.exchange.spreadsheet import readings_csv
from logic.history.journal.segment import segment_number
from logic.history.storage.files import LOCK
from shared.errors import InputError
from shared.words import say

LONGEST_FILE = 512 * 1024 * 1024
"""No history file of a bench comes near this."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What to do, and with which file."""
    parser.add_argument("do", choices=tuple(_DO), help="what to do with FILE")
    parser.add_argument("file", metavar="FILE", help="a history file, a folder to check, or -")
    parser.add_argument("--folder", type=Path, help="where this machine's history is kept")
    parser.add_argument(
        "--csv", action="store_true", help="export readings as comma-separated values"
    )
    only = parser.add_mutually_exclusive_group()
    only.add_argument("--job", metavar="ID", help="export one job only")
    only.add_argument("--instrument", metavar="ID", help="export one instrument and its jobs only")


def run(options: argparse.Namespace) -> int:
    """Does it; InputError when FILE cannot be used, HistoryError when the history cannot."""
    return _DO[options.do](options)


def _check(options: argparse.Namespace) -> int:
    path = Path(options.file)
    findings = _check_folder(path) if path.is_dir() else check_file(_read(options.file))
    for line in findings.holds:
        print(line)
    for line in findings.wrong or [say("Nothing is wrong with it.")]:
        print(line)
    return 0 if findings.sound else 1


def _check_folder(folder: Path) -> Findings:
    files = {path.name: path for path in folder.iterdir() if path.is_file() and path.name != LOCK}
    if not any(map(segment_number, files)):
        ask = say("give a folder that holds journal files")
        raise InputError("history folder", str(folder), ask)
    return check_journal({name: path.read_bytes() for name, path in files.items()})


def _export(options: argparse.Namespace) -> int:
    folder = folder_of(options)
    if not folder.is_dir():
        raise InputError("history", str(folder), say("name the folder of a history with --folder"))
    with closing(History.open(FileDirectory(folder))) as history:
        history.purge()  # what is due to be gone goes into no file
        data = (
            readings_csv(history.queries).encode() if options.csv else history.export(_of(options))
        )
    _write(options.file, data)
    _tell(history.report.lines(), options)
    return 0


def _import(options: argparse.Namespace) -> int:
    data = _read(options.file)
    with closing(History.open(FileDirectory(folder_of(options)))) as history:
        opening_lines = history.report.lines()
        report = history.merge(data)
        history.purge()
        history.save_snapshot()
    for line in (*opening_lines, *report.lines()):
        print(line)
    return 0


def _of(options: argparse.Namespace) -> DocumentKey | None:
    if options.job:
        return ("job", options.job)
    return ("instrument", options.instrument) if options.instrument else None


def folder_of(options: argparse.Namespace) -> Path:
    """Where the history of this machine is kept."""
    if options.folder:
        return Path(options.folder)
    if named := os.environ.get("NUTWRIGHT_HISTORY"):
        return Path(named)
    data = os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share"
    return Path(data) / "nutwright" / "history"


def _read(name: str) -> bytes:
    if name == "-":
        return sys.stdin.buffer.read(LONGEST_FILE)
    try:
        with Path(name).open("rb") as file:
            return file.read(LONGEST_FILE)
    except OSError as error:
        raise _unusable(name, error) from error


def _write(name: str, data: bytes) -> None:
    if name == "-":
        sys.stdout.buffer.write(data)
        return
    try:
        Path(name).write_bytes(data)
    except OSError as error:
        raise _unusable(name, error) from error


def _unusable(name: str, error: OSError) -> InputError:
    return InputError(
        "history file",
        name,
        say("give the path of a history file, or -"),
        what=f"{error.strerror}: {name}",
    )


def _tell(lines: tuple[str, ...], options: argparse.Namespace) -> None:
    """Say what was found; on standard error, since the export may be on standard output."""
    for line in lines:
        print(line, file=sys.stderr)
    if options.file != "-":
        print(say("Written to {file}.", file=options.file))


_DO = {"check": _check, "export": _export, "import": _import}
