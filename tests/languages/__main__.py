"""`python -m tests.languages`: keeps the German catalogue up to date; see the package."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from tests.languages.catalogue import add, changing, english, read, untranslated, update


def main(words: list[str]) -> int:
    """Do what `words` say, and say how much is untranslated."""
    if words == ["missing"]:
        print(json.dumps(_missing(), ensure_ascii=False, indent=1))
        return 0
    with changing() as catalogue:
        update(catalogue)
        if words[:1] == ["add"]:
            for name in words[1:]:
                add(catalogue, json.loads(Path(name).read_text(encoding="utf-8")))
            update(catalogue)
        if words == ["tidy"]:
            catalogue.obsolete.clear()
        missing, waiting = len(untranslated(catalogue)), len(catalogue.obsolete)
        print(f"{len(catalogue)} sentences, {missing} untranslated, {waiting} said nowhere")
    return 0


def _missing() -> dict[str, str | list[str]]:
    found: dict[str, str | list[str]] = {}
    for message in untranslated(read()):
        key = english(message)[0]
        key = f"{message.context}::{key}" if message.context else key
        found[key] = "" if isinstance(message.id, str) else ["", ""]
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
