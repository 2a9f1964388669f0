"""The site that a benchmark works in."""

from __future__ import annotations

from pathlib import Path

from mobile.publish.build import NUTWRIGHT, build


def site_or_built(given: Path | None, folder: Path) -> Path:
    """The site that is given, or one built into `folder`."""
    if given is None:
        build(NUTWRIGHT, folder / "site")
    return given or folder / "site"
