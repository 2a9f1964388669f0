"""Builds only when something that goes into the site has changed since the last time."""

from __future__ import annotations

import hashlib
from pathlib import Path

import flet_web.version  # type: ignore[import-untyped]

from mobile.publish.build import build
from mobile.publish.pack import PublishedApp, app_files
from mobile.publish.page_words import WEB
from mobile.publish.wheels import LIST
from shared.bootstrap import ROOT

PUBLISHER = Path(__file__).resolve().parent


def build_if_stale(app: PublishedApp, site: Path) -> bool:
    """Build `app` into `site` unless it stands there already; True when it was built."""
    stamp = site.with_name(site.name + ".inputs")
    inputs = inputs_digest(app)
    if site.exists() and stamp.exists() and stamp.read_text(encoding="ascii") == inputs:
        return False
    stamp.unlink(missing_ok=True)
    build(app, site)
    stamp.write_text(inputs, encoding="ascii")
    return True


def inputs_digest(app: PublishedApp) -> str:
    """One digest of everything a build of `app` reads."""
    digest = hashlib.sha256(flet_web.version.version.encode())
    for path, data in sorted(app_files(app).items()):
        _add(digest, path, data)
    for folder in (WEB, PUBLISHER, ROOT / "assets"):
        for file in sorted(folder.rglob("*")):
            if file.is_file() and "__pycache__" not in file.parts:
                _add(digest, file.relative_to(ROOT).as_posix(), file.read_bytes())
    _add(digest, LIST.name, LIST.read_bytes())
    return digest.hexdigest()


def _add(digest: hashlib._Hash, path: str, data: bytes) -> None:
    digest.update(f"{path}\n{len(data)}\n".encode())
    digest.update(data)
