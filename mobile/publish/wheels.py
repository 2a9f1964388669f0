"""The packages that run on the phone: fetched once, checked by hash, kept for later builds."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
import zipfile
from pathlib import Path

from shared.errors import BuildError

LIST = Path(__file__).resolve().parent.parent / "wheels.txt"
PLATFORM = "pyemscripten_2026_0_wasm32"
PYTHON = "314"
_DIGEST = re.compile(r"--hash=sha256:([0-9a-f]{64})")


def wheels(cache: Path, listing: Path = LIST) -> tuple[Path, ...]:
    """The wheel of every line of `listing`, in that order, fetched only if `cache` lacks it.
    BuildError where one cannot be had."""
    digests = _DIGEST.findall(listing.read_text())
    have = _by_digest(cache)
    if not set(digests) <= have.keys():
        _fetch(cache, listing)
        have = _by_digest(cache)
    missing = set(digests) - have.keys()
    if missing:
        raise BuildError(f"{len(missing)} packages of {listing.name} did not arrive as pinned")
    return tuple(have[digest] for digest in digests)


def _by_digest(cache: Path) -> dict[str, Path]:
    return {hashlib.sha256(path.read_bytes()).hexdigest(): path for path in cache.glob("*.whl")}


def _fetch(cache: Path, listing: Path) -> None:
    cache.mkdir(parents=True, exist_ok=True)
    target = ["--platform", PLATFORM, "--python-version", PYTHON, "--dest", str(cache)]
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--only-binary", ":all:"]
    command += ["--no-deps", "--require-hashes", *target, "-r", str(listing)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        last = (done.stderr.strip().splitlines() or ["pip said nothing"])[-1]
        raise BuildError(
            f"The packages for the phone could not be fetched: {last}",
            safe="No site was written.",
            next="Connect this machine to a package index once; later builds need no network",
        )


def unpack(wheel: Path) -> dict[str, bytes]:
    """Path and bytes of what `wheel` holds."""
    with zipfile.ZipFile(wheel) as archive:
        return {
            entry.filename: archive.read(entry)
            for entry in archive.infolist()
            if not entry.is_dir()
        }
