"""Builds of the plain page that do not start, each in its own way."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from mobile.publish.build import build
from mobile.publish.builds import lineage_after
from tests.browser.harness import PLAIN
from tests.once import once, site

DRAWS = """import flet as ft

def main(page):
    page.add(ft.Semantics(identifier="ready", content={content}))

ft.run(main)
"""
BROKEN = {
    "ends as it is imported": ("raise RuntimeError('bent file')\n", "RuntimeError: bent"),
    "ends in its first screen": (DRAWS.format(content="bent"), "NameError"),
    "is refused by the client": (DRAWS.format(content="ft.Text('x', spans=['x'])"), "Error"),
    "holds a control that is not right": (
        DRAWS.format(content="ft.TabBar(tabs=[ft.Tab('x')])"),
        "TabBar must be used",
    ),
}
"""The code of each, and what the page says of it."""


def broken_build(folder: Path, which: str) -> Path:
    """The site of one of them, made once in `folder` for whichever process asks first.

    It follows the plain page.
    """
    name = f"broken-{list(BROKEN).index(which)}"
    lineage = lineage_after(site(folder, PLAIN))

    def make(out: Path) -> None:
        root = out.with_name(f"{name}-source")
        root.mkdir(exist_ok=True)
        (root / "main.py").write_text(BROKEN[which][0], encoding="utf-8")
        build(replace(PLAIN, root=root, paths=("main.py",)), out, lineage=lineage)

    return once(folder, name, make)
