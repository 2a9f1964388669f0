"""Builds the site that takes the app away again from devices that have it, records excepted.

A device that kept the app starts from its own copy for ever, unless the same address serves another
worker. This one leaves whatever is open alone; whoever opens the address anew is told that the app
is gone, its copy and its worker are put away, and what was recorded can be handed out.
"""

from __future__ import annotations

from html import escape
from pathlib import Path

from mobile.publish.build import check_base, clear, filled
from mobile.publish.pack import PublishedApp
from mobile.publish.page_words import WEB, script
from mobile.publish.precache import build_id, listing

SOURCES = WEB / "uninstall"
SCRIPT = "tombstone.js"
"""The script's name in the site: published, and asked for by pages that devices have open."""
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'unsafe-inline'; img-src data:; "
    "base-uri 'self'; form-action 'none'"
)


def build_uninstall_site(app: PublishedApp, out: Path, *, base: str = "./") -> str:
    """Write the site that takes `app` away into folder `out` and return its build id.

    It belongs at the very address that served the app. `base` and `out` are as for `build`.
    """
    check_base(base)
    page = SOURCES / "index.html"
    blanks = {"base": escape(base), "csp": escape(POLICY), "name": escape(app.name)}
    files = {
        "index.html": filled(page.read_text(encoding="utf-8"), blanks).encode(),
        SCRIPT: script(SOURCES / "uninstall.js", also=[page]),
        "sw.js": script(SOURCES / "sw.js"),
    }
    build = build_id(files)
    files["precache.json"] = listing(files, build)
    clear(out)
    out.mkdir(parents=True, exist_ok=True)
    for name, data in files.items():
        (out / name).write_bytes(data)
    return build
