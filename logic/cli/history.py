"""Checks, exports and imports the history of this machine, and says how it stands.

check FILE     look through a history file, or a folder of one, and change nothing
export FILE    write this machine's history to FILE (--csv: its readings, for a spreadsheet)
import FILE    take the entries of a history file in; doing it twice changes nothing
status         how this machine's history stands: entries, files, and how many of each are missing
promised       list every erasure that is promised, and from when it goes here
keep ID        call a promised erasure back, for every device of the bench
let-go ID      say yes to an erasure that came in a file and waits

What a file asks to be erased waits until you say yes (import --erasures yes, or let-go).
FILE may be - for standard input or output. This machine's history is in the folder that --folder
or NUTWRIGHT_HISTORY names, else in .local/share/nutwright/history of your home folder.
check ends with exit code 1 when something is wrong with the history."""

from __future__ import annotations

import argparse
import os
import re
import sys
from contextlib import closing
from itertools import islice
from pathlib import Path

from logic.app.presenters.promised import promise_line
from logic.app.presenters.storage_health import health_view
from logic.cli.files import Wanted, read_input, unusable, write_output, write_to_standard_output
from logic.history import FileDirectory, History
from logic.history.checking import Findings, check_file, check_journal
from logic.history.documents.bodies import DocumentKey
from logic.history.exchange.spreadsheet import readings_csv
from logic.history.journal.frame import Frame, scan
from logic.history.journal.segment import segment_number
from logic.history.operations.promises import Promised
from logic.history.report import MergeReport
from logic.history.storage.files import LOCK, OURS
from shared.errors import InputError
from shared.words import say, say_many

LONGEST_FILE = 512 * 1024 * 1024
"""Of a history file, bytes: some two million entries, more than a chain of shops has in years."""
LONGEST_STREAM = 128 * 1024 * 1024
"""Of what is read from standard input or a pipe, bytes: it is all held before it is known whether
it ends. What is longer is given as a file."""
LONGEST_JOURNAL_FILE = 64 * 1024 * 1024
"""Of one file of a journal, bytes: it is closed at one megabyte, or a line later."""
_LINE_BEGINS = re.compile(rb"^[0-9a-f]{8} [0-9a-f]{8} \{", re.MULTILINE)
_MOST_TRIED = 1000
"""Beginnings of lines that are read before it is said that no line of the file holds."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What to do, and with which file."""
    parser.add_argument("do", choices=tuple(_DO), help="what to do with FILE")
    parser.add_argument(
        "file",
        metavar="FILE",
        nargs="?",
        help="a history file, a folder to check, or -; the ID of an erasure",
    )
    parser.add_argument("--folder", type=Path, help="where this machine's history is kept")
    parser.add_argument(
        "--csv", action="store_true", help="export readings as comma-separated values"
    )
    parser.add_argument(
        "--erasures",
        choices=("wait", "yes", "no"),
        default="wait",
        help="what the file asks to be erased: let it wait, let it go, or call it back",
    )
    only = parser.add_mutually_exclusive_group()
    only.add_argument("--job", metavar="ID", help="export one job only")
    only.add_argument("--instrument", metavar="ID", help="export one instrument and its jobs only")


def run(options: argparse.Namespace) -> int:
    """Does it; InputError when FILE cannot be used, HistoryError when the history cannot."""
    _refuse_wrong_word(options.do, options.file)
    return _DO[options.do](options)


def _refuse_wrong_word(do: str, word: str | None) -> None:
    """InputError where FILE or ID lacks, or stands where nothing is asked for."""
    if do in ("status", "promised"):
        if word is not None:
            ask = say("leave it out: {do} asks for none", do=do)
            raise InputError("FILE", word, ask)
    elif word is None and do in ("keep", "let-go"):
        raise InputError("ID", "", say("name one that `history promised` lists"), what=_missing())
    elif word is None:
        ask = say("name the file to {do}", do=do)
        raise InputError("FILE", "", ask, what=_missing())


def _missing() -> str:
    return say("is missing")


def _check(options: argparse.Namespace) -> int:
    folder = os.path.isdir(options.file)  # which raises for no name at all
    findings = _check_folder(Path(options.file)) if folder else check_file(_history_file(options))
    for line in findings.holds:
        print(line)
    for line in findings.wrong or [say("Nothing is wrong with it.")]:
        print(line)
    return 0 if findings.sound else 1


def _check_folder(folder: Path) -> Findings:
    try:
        paths = {each.name: each for each in folder.iterdir() if each.is_file()}
        if not any(map(segment_number, paths)):
            ask = say("give a folder that holds journal files")
            raise InputError(say("history folder"), str(folder), ask)
        return check_journal({name: _bytes_of(path) for name, path in paths.items()})
    except OSError as error:
        ask = say("give a folder that can be read")
        raise unusable(say("history folder"), str(folder), error, ask) from error


def _bytes_of(path: Path) -> bytes:
    """What a file of the folder holds; nothing of one that is none of a history's."""
    if path.name == LOCK or not OURS.fullmatch(path.name):
        return b""
    size_bytes = path.stat().st_size
    most = LONGEST_JOURNAL_FILE if segment_number(path.name) else LONGEST_FILE
    if size_bytes > most:
        ask = say("give a folder that Nutwright wrote")
        what = say("is longer than {megabytes} MB", megabytes=most // 1_000_000)
        raise InputError(path.name, say("{bytes} bytes", bytes=size_bytes), ask, what=what)
    return path.read_bytes()


def _status(options: argparse.Namespace) -> int:
    with _opened(options) as history:
        found = history.report.lines()
        facts = health_view(history, (), "", "").lines
        promised = [line for each in history.promised() for line in _promise_lines(each, history)]
    for name, value in facts:
        if name != say("Hub"):  # which this does not ask
            print(f"{name}: {value}")
    for line in (*found, *promised):
        print(line)
    return 0


def _history_folder(options: argparse.Namespace) -> Path:
    folder = folder_of(options)
    if not os.path.isdir(folder):
        raise InputError("history", str(folder), say("name the folder of a history with --folder"))
    return folder


def _export(options: argparse.Namespace) -> int:
    with _opened(options) as history:
        history.purge()  # what is due to be gone goes into no file
        data = (
            readings_csv(history.queries).encode() if options.csv else history.export(_of(options))
        )
    if options.file == "-":
        write_to_standard_output(data)
    else:
        write_output(say("history file"), options.file, data)
    _tell(history.report.lines(), options)
    return 0


def _import(options: argparse.Namespace) -> int:
    data = _history_file(options)
    with closing(History.open(FileDirectory(folder_of(options)))) as history:
        opening_lines = history.report.lines()
        report = history.merge(data)
        asked = list(report.asked)
        answered = _answer(history, report, options.erasures)
        promised = [each for each in history.promised() if each.event.id in asked]
        lines = [line for each in promised for line in _promise_lines(each, history)]
        history.purge()
        history.save_snapshot()
    for line in (*opening_lines, *report.lines(), *answered, *lines):
        print(line)
    return 0


def _answer(history: History, report: MergeReport, answer: str) -> list[str]:
    """Answer what a file asks to be erased, as far as that is not to wait; what is said of it."""
    if answer == "wait" or not report.asked:
        return []
    asked, report.asked = report.asked, []
    for name in asked:
        if answer == "yes":
            history.agree_to_erase(name)
        else:
            history.undo(name)
    return [_said_yes(len(asked)) if answer == "yes" else _called_back(len(asked))]


def _said_yes(count: int) -> str:
    return say_many(
        "The file asks for {count} erasure, to which you said yes.",
        "The file asks for {count} erasures, to which you said yes.",
        count,
    )


def _called_back(count: int) -> str:
    return say_many(
        "The file asks for {count} erasure, which is called back.",
        "The file asks for {count} erasures, which are called back.",
        count,
    )


def _promised(options: argparse.Namespace) -> int:
    with _opened(options) as history:
        lines = [line for each in history.promised() for line in _promise_lines(each, history)]
    for line in lines or [say("Nothing is promised to be gone.")]:
        print(line)
    return 0


def _promise_lines(promise: Promised, history: History) -> tuple[str, ...]:
    """A line that names it, and under it what it would erase and from when."""
    line = promise_line(promise, history)
    about = ": ".join(filter(None, (line.key, ", ".join(line.named))))
    return (about, *(f"  {each}" for each in line.details))


def _keep(options: argparse.Namespace) -> int:
    with _opened(options) as history:
        _refuse_unless_promised(history, options.file)
        history.undo(options.file)
    print(say("It is kept, here and on every device that hears of it."))
    return 0


def _let_go(options: argparse.Namespace) -> int:
    with _opened(options) as history:
        _refuse_unless_promised(history, options.file)
        history.agree_to_erase(options.file)
        left = [each for each in history.promised() if each.event.id == options.file]
        lines = [line for each in left for line in _promise_lines(each, history)]
    for line in lines:
        print(line)
    return 0


def _refuse_unless_promised(history: History, name: str) -> None:
    if all(each.event.id != name for each in history.promised()):
        ask = say("name one that `history promised` lists")
        raise InputError(say("erasure"), name, ask)


def _opened(options: argparse.Namespace) -> closing[History]:
    return closing(History.open(FileDirectory(_history_folder(options))))


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


def _history_file(options: argparse.Namespace) -> bytes:
    ask = say("give a file that Nutwright exported, or - for standard input")
    wanted = Wanted(say("history file"), ask, LONGEST_FILE, LONGEST_STREAM, _has_a_line)
    return read_input(options.file, wanted)


def _has_a_line(head: bytes) -> bool:
    """Whether a line of a history file holds in `head`; of a damaged one, any that is sound."""
    tried = islice(_LINE_BEGINS.finditer(head), _MOST_TRIED)
    return any(isinstance(next(scan(head, each.start())), Frame) for each in tried)


def tell_opening(history: History) -> None:
    """Say what an opening found; on standard error, beside a command's result."""
    for line in history.report.lines():
        print(line, file=sys.stderr)


def _tell(lines: tuple[str, ...], options: argparse.Namespace) -> None:
    """Say what was found; on standard error, since the export may be on standard output."""
    for line in lines:
        print(line, file=sys.stderr)
    if options.file != "-":
        print(say("Written to {file}.", file=options.file))


_DO = {
    "check": _check,
    "export": _export,
    "import": _import,
    "promised": _promised,
    "keep": _keep,
    "let-go": _let_go,
    "status": _status,
}
