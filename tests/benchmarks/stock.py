"""What Flet's own publisher would put out for an empty page, with the least that makes it start.

That publisher cannot finish without a network, so its steps are taken here from the files that the
pinned packages ship: the whole web client, the app's archive with its packages unpacked in it, the
page's settings by Flet's own function, everything local. The least fix: the Python runtime's
address is made absolute, since a module worker takes no bare one; and the script of an animation
player, asked for from outside, is left to fail. It brings no worker of its own that keeps anything.
"""

from __future__ import annotations

import io
import shutil
import tarfile
from pathlib import Path

import flet_web  # type: ignore[import-untyped]

from mobile.publish import wheels
from mobile.publish.build import WHEELS
from mobile.publish.pack import PublishedApp, app_files
from mobile.publish.squeeze import squeezed

ARCHIVE = "app.tar.gz"
AT_START = (
    "canvaskit/skwasm.wasm",
    "main.dart.wasm",
    "pyodide/pyodide.asm.mjs",
    "pyodide/pyodide.asm.wasm",
)
"""Its largest files, compressed as hard as ours."""


def publish(app: PublishedApp, site: Path, kept: Path) -> None:
    """Write the stock site of `app` into `site`, compressed copies beside its files as for ours."""
    shutil.copytree(flet_web.get_package_web_dir(), site)
    (site / ARCHIVE).write_bytes(_archive(app))
    flet_web.patch_index_html(
        index_path=str(site / "index.html"),
        base_href="/",
        app_name=app.name,
        pyodide=True,
        pyodide_script_path=f"{app.module}.py",
        pyodide_version="local",
        app_package_url=ARCHIVE,
        no_cdn=True,
    )
    index = site / "index.html"
    text = index.read_text(encoding="utf-8")
    bare = 'flet.pyodideUrl="pyodide/pyodide.mjs"'
    assert text.count(bare) == 1
    index.write_text(text.replace(bare, 'flet.pyodideUrl="/pyodide/pyodide.mjs"'), "utf-8")
    files = {
        path.relative_to(site).as_posix(): path.read_bytes()
        for path in site.rglob("*")
        if path.is_file()
    }
    for path, data in squeezed(files, kept, AT_START).items():
        (site / path).write_bytes(data)


def _archive(app: PublishedApp) -> bytes:
    files = dict(app_files(app))
    for wheel in wheels.wheels(WHEELS):
        name = wheel.name.split("-")[0].replace("_", "-")
        if name in app.wheels:
            files |= {f"__pypackages__/{path}": data for path, data in wheels.unpack(wheel).items()}
    buffer = io.BytesIO()
    with tarfile.open(fileobj=buffer, mode="w:gz") as archive:
        for path in sorted(files):
            entry = tarfile.TarInfo(path)
            entry.size = len(files[path])
            archive.addfile(entry, io.BytesIO(files[path]))
    return buffer.getvalue()
