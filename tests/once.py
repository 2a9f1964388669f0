"""What several workers need is made by one of them; locks between processes."""

from __future__ import annotations

import fcntl
import hashlib
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from mobile.publish.build import build
from mobile.publish.pack import PublishedApp
from mobile.publish.stale import inputs_digest


@contextmanager
def held(lock: Path, *, alone: bool = True) -> Iterator[None]:
    """Hold `lock` among all processes: by oneself when `alone`, else together with others."""
    with lock.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX if alone else fcntl.LOCK_SH)
        yield


def once(folder: Path, name: str, make: Callable[[Path], object]) -> Path:
    """The path `name` in `folder`, put there by `make` for whichever process asks first.

    The others wait. What it holds is for reading: a test that changes it takes a copy.
    """
    made, coming = folder / name, folder / f"{name}.coming"
    with held(folder / f"{name}.lock"):
        if not made.exists():
            shutil.rmtree(coming, ignore_errors=True)  # of one that failed
            make(coming)
            coming.rename(made)
    return made


def site(folder: Path, app: PublishedApp) -> Path:
    """The site of `app`, built once in `folder` for the same app and sources."""
    facts = repr(replace(app, root=Path())) + inputs_digest(app)
    name = f"site-{hashlib.sha256(facts.encode()).hexdigest()[:16]}"
    return once(folder, name, lambda out: build(app, out))
