"""Runs a hub, where the devices of a bench meet, and keeps its doors.

hub --app DIR --cert F --key F   serve the exchange and the built app
hub bench NAME                   make a bench, and a code for its first device
hub code BENCH                   a code for one more device: works once, for 15 minutes
hub devices BENCH                who may in, and when each was last seen
hub revoke BENCH DEVICE          shut a device out at once
hub export BENCH FILE            everything a bench holds, as a history file
hub check                        read every event again and compare its digest
hub restored                     say so after a backup was played back
hub purge                        make gone what is due to be gone (a serving hub does so hourly)
hub forget BENCH --really BENCH  remove a bench and everything in it"""

from __future__ import annotations

import argparse
from pathlib import Path

DEFAULT_STORE = "hub.sqlite"
_STORE_HELP = "a file (default hub.sqlite) or postgresql://… (or in NUTWRIGHT_STORE)"


def arguments(parser: argparse.ArgumentParser) -> None:
    """How to serve, or one of the smaller jobs."""
    _add_store(parser, default=None)
    parser.add_argument("--host", default="127.0.0.1", help="address to listen at")
    parser.add_argument("--port", type=int, default=8443, help="port to listen at")
    parser.add_argument("--cert", type=Path, help="certificate file for TLS")
    parser.add_argument("--key", type=Path, help="its key file")
    parser.add_argument("--app", type=Path, metavar="DIR", help="the built app, served as well")
    parser.add_argument("--proxy", default="", metavar="ADDR", help="who ends TLS in front of us")
    parser.add_argument(
        "--origin", action="append", default=[], metavar="URL", help="another site that may ask"
    )
    jobs = parser.add_subparsers(dest="job", metavar="JOB", required=False)
    bench = _job(jobs, "bench", "make a bench", "name")
    code = _job(jobs, "code", "a joining code", "bench")
    for each in (bench, code):
        each.add_argument("--address", default="", metavar="URL", help="the hub's, for the QR code")
    code.add_argument("--read-only", action="store_true", help="for a device that only reads")
    _job(jobs, "devices", "who may in", "bench")
    _job(jobs, "revoke", "shut a device out", "bench", "device")
    _job(jobs, "export", "a bench as a history file", "bench", "file")
    _job(jobs, "check", "compare every digest")
    _job(jobs, "restored", "begin a new epoch")
    _job(jobs, "purge", "erase what is due")
    forget = _job(jobs, "forget", "remove a bench", "bench")
    forget.add_argument("--really", default="", metavar="BENCH", help="the name once more")


def run(options: argparse.Namespace) -> int:
    """Serves until stopped, or does the smaller job."""
    from shared.bootstrap import ensure

    ensure("hub")
    from logic.sync.hub import console

    return console.run(options)


def _job(
    jobs: argparse._SubParsersAction[argparse.ArgumentParser], name: str, about: str, *words: str
) -> argparse.ArgumentParser:
    parser = jobs.add_parser(name, help=about, allow_abbrev=False)
    for word in words:
        parser.add_argument(word)
    _add_store(parser, default=argparse.SUPPRESS)
    return parser


def _add_store(parser: argparse.ArgumentParser, default: str | None) -> None:
    parser.add_argument("--store", default=default, metavar="URL", help=_STORE_HELP)
