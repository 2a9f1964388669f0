"""`python -m tests.languages`: keeps the catalogues up to date; see the package."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from tests.languages.catalogue import add, changing, codes, english, read, untranslated, update


def main(words: list[str]) -> int:
    """Do what `words` say, and say how much is untranslated."""
    asked = _parser().parse_args(words)
    if asked.command == "missing":
        print(json.dumps(_missing(asked.language), ensure_ascii=False, indent=1))
        return 0
    for code in codes() if asked.command in (None, "tidy") else (asked.language,):
        with changing(code) as catalogue:
            update(catalogue)
            for name in asked.files if asked.command == "add" else ():
                add(catalogue, json.loads(Path(name).read_text(encoding="utf-8")))
                update(catalogue)
            if asked.command == "tidy":
                catalogue.obsolete.clear()
            missing, waiting = len(untranslated(catalogue)), len(catalogue.obsolete)
            count = f"{len(catalogue)} sentences"
            print(f"{code}: {count}, {missing} untranslated, {waiting} said nowhere")
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tests.languages")
    commands = parser.add_subparsers(dest="command")
    for name in ("missing", "add"):
        one = commands.add_parser(name)
        one.add_argument("--language", choices=codes(), default="de")
        if name == "add":
            one.add_argument("files", nargs="+")
    commands.add_parser("tidy")
    return parser


def _missing(code: str) -> dict[str, str | list[str]]:
    catalogue = read(code)
    found: dict[str, str | list[str]] = {}
    for message in untranslated(catalogue):
        key = english(message)[0]
        key = f"{message.context}::{key}" if message.context else key
        found[key] = "" if isinstance(message.id, str) else [""] * catalogue.num_plurals
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
