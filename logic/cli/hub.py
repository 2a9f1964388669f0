"""Runs a hub, where the devices of a bench meet, and keeps its doors.

hub --app DIR --cert F --key F   serve the exchange and the built app
hub bench NAME                   make a bench, and a code for its first device
hub code BENCH                   a code for one more device: works once, for 15 minutes
hub devices BENCH                who may in, and when each was last seen
hub revoke BENCH DEVICE          shut a device out at once
hub rotate BENCH DEVICE          have a device get a new key when it meets next
hub export BENCH FILE            everything a bench holds, as a history file
hub backup FILE                  a copy of the whole hub, made while it runs and read back
hub restore FILE                 play such a copy into an empty place
hub check [FILE]                 read every event again, of the hub or of a backup
hub restored                     say so after a backup was played back by other means
hub audit [BENCH]                who did what here, and when
hub limits [BENCH]               what a bench may take up, and how old a key may get
hub purge                        make gone what is due to be gone (a serving hub does so hourly)
hub forget BENCH --really BENCH  remove a bench and everything in it"""

from __future__ import annotations

import argparse
from pathlib import Path

from logic.languages import languages

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
    parser.add_argument(
        "--check-every", type=float, default=0, metavar="HOURS", help="read all again this often"
    )
    jobs = parser.add_subparsers(dest="job", metavar="JOB", required=False)
    bench = _job(jobs, "bench", "make a bench", "name")
    code = _job(jobs, "code", "a joining code", "bench")
    for each in (bench, code):
        each.add_argument("--address", default="", metavar="URL", help="the hub's, for the QR code")
    code.add_argument("--read-only", action="store_true", help="for a device that only reads")
    _job(jobs, "devices", "who may in", "bench")
    _job(jobs, "revoke", "shut a device out", "bench", "device")
    _job(jobs, "rotate", "replace a device's key", "bench", "device")
    _job(jobs, "backup", "copy the whole hub", "file")
    _job(jobs, "restore", "play a copy back", "file")
    _add_audit(_job(jobs, "audit", "who did what"))
    _add_limits(_job(jobs, "limits", "what a bench may take up"))
    export = _job(jobs, "export", "a bench as a history file", "bench", "file")
    export.add_argument(
        "--without-erasures", action="store_true", help="keeps what is not erased here yet"
    )
    check = _job(jobs, "check", "compare every digest")
    check.add_argument("file", nargs="?", default="")
    _job(jobs, "restored", "begin a new epoch")
    _job(jobs, "purge", "erase what is due")
    forget = _job(jobs, "forget", "remove a bench", "bench")
    forget.add_argument("--really", default="", metavar="BENCH", help="the name once more")


def _add_audit(job: argparse.ArgumentParser) -> None:
    job.add_argument("bench", nargs="?", default="")
    job.add_argument("--days", type=int, default=0, help="of the last days only")
    job.add_argument("--json", action="store_true", help="one JSON object a line")


def _add_limits(job: argparse.ArgumentParser) -> None:
    job.add_argument("bench", nargs="?", default="")
    for name, about in (
        ("entries", "kept of a bench; 0 is no limit, here and below"),
        ("megabytes", "of text kept of a bench"),
        ("key-days", "after which a key that was not replaced opens nothing"),
        ("aside-days", "that entries set aside are kept"),
        ("erasure-days", "that content stays here after its erasure arrived"),
    ):
        job.add_argument(f"--{name}", type=int, metavar="N", help=about)


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
    # every command takes it at its end; words after a job are the job's own
    parser.add_argument(
        "--language", choices=languages(), default=argparse.SUPPRESS, help="of what is printed"
    )
    return parser


def _add_store(parser: argparse.ArgumentParser, default: str | None) -> None:
    parser.add_argument("--store", default=default, metavar="URL", help=_STORE_HELP)
