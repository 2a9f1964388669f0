"""Writes labels for the instruments of this machine's history, several a sheet, to cut apart: each
with its name and a square code. A phone that scans one opens that instrument's quick check in the
app, which must be served at the address given. The code is that address and, after a #, an opaque
id: no name, no owner."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path
from urllib.parse import urlsplit

from logic.app.presenters.label_words import labels_of
from logic.cli.files import write_output
from logic.cli.history import folder_of, tell_opening
from logic.drawing.label_grid import label_grid
from logic.drawing.labels import Label, label_pages
from logic.drawing.page import Paper
from logic.drawing.pdf import pdf
from logic.history import FileDirectory, History
from logic.trade_loader import load_trade_tables
from shared.errors import InputError
from shared.words import say, say_many

_PAPERS = {paper.value.lower(): paper for paper in Paper}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Where the app is, where the sheet goes, and which instruments are on it."""
    parser.add_argument("pdf", metavar="FILE", help="write the sheets to this PDF")
    parser.add_argument(
        "--address", required=True, help="where the app is served, such as https://bench.example/"
    )
    parser.add_argument("--paper", choices=tuple(_PAPERS), default="a4", help="sheet to print on")
    parser.add_argument(
        "--instrument",
        metavar="ID",
        action="append",
        help="only this one; may be given several times (all if not given)",
    )
    parser.add_argument("--folder", type=Path, help="where this machine's history is kept")


def run(options: argparse.Namespace) -> int:
    """Writes the sheets; InputError where the address, the history or an instrument is none."""
    address, paper = app_address(options.address), _PAPERS[options.paper]
    trade = load_trade_tables()
    labels = _labels(options, address)
    pages = list(label_pages(labels, paper, trade.labels, trade.layout.check_bar_mm))
    write_output("FILE", options.pdf, pdf(pages))
    count, sheets = len(labels), label_grid(paper, trade.labels).sheets(len(labels))
    print(
        say(
            "{labels} on {sheets}, for the app at {address}.",
            labels=say_many("{count} label", "{count} labels", count),
            sheets=say_many("{count} sheet", "{count} sheets", sheets),
            address=address,
        )
    )
    return 0


def _labels(options: argparse.Namespace, address: str) -> list[Label]:
    folder = folder_of(options)
    if not folder.is_dir():
        raise InputError("history", str(folder), say("name the folder of a history with --folder"))
    with closing(History.open(FileDirectory(folder))) as history:
        tell_opening(history)
        names = tuple(options.instrument or ())
        for name in names:
            if history.instrument(name) is None:
                ask = say("give the id of an instrument on record")
                raise InputError("--instrument", name, ask)
        labels = labels_of(names, history, address)
        if not labels:
            ask = say("start a job on an instrument, or import a history")
            raise InputError("history", str(folder), ask, what=say("no instrument is on record"))
        return labels


def app_address(written: str) -> str:
    """The address of an app as its labels hold it. InputError where it is none, or holds what has
    no place on a label, such as a password."""
    parts = urlsplit(written.strip())
    plain = parts.scheme in ("http", "https") and parts.hostname and written.isascii()
    if not plain or parts.username is not None or parts.query or "#" in written:
        ask = say("give the address of the app alone, such as https://bench.example/")
        raise InputError("--address", written, ask)
    folder, _, last = parts.path.rpartition("/")
    path = f"{folder}/" if "." in last or not last else f"{parts.path}/"
    return f"{parts.scheme}://{parts.netloc.lower()}{path}"
