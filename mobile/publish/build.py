"""Builds the static site: the client, Python, the app, and the page that holds them together."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import asdict
from html import escape
from pathlib import Path, PurePosixPath

import flet_web  # type: ignore[import-untyped]

from logic.trade_loader import check_trade_tables
from mobile.publish import patch
from mobile.publish.builds import (
    LISTING,
    RECORD,
    KnownBuild,
    Lineage,
    digest_of,
    lineage_after,
    record,
)
from mobile.publish.compiled import compiled
from mobile.publish.font_metrics import METRICS, font_metrics
from mobile.publish.icons import FONT, icon_font, icons_named
from mobile.publish.pack import (
    PublishedApp,
    app_files,
    licences,
    must_be_a_file,
    package_files,
    zipped,
)
from mobile.publish.page_words import SHORTCUT, WEB, localised, script
from mobile.publish.precache import build_id, entries, listing
from mobile.publish.squeeze import sent_size, squeezed
from mobile.publish.start_files import reached
from mobile.publish.stdlib import check_imports, stdlib_files
from mobile.publish.trim import without_languages
from shared.bootstrap import ROOT
from shared.errors import BuildError
from shared.words import mark

ASSETS = ROOT / "assets"
WHEELS = ROOT / ".build" / "wheels"
COMPILED = ROOT / ".build" / "compiled"
SQUEEZED = ROOT / ".build" / "squeezed"

NUTWRIGHT = PublishedApp(
    root=ROOT,
    module="mobile.main",
    paths=(
        *("shared/**/*.py", "logic/**/*.py", "mobile/**/*.py"),
        *("assets/*.json", "assets/languages/*.mo", METRICS),
    ),
    name="Nutwright",
    description=mark("Measures a nut string by string and says what to do with each slot."),
    start_screen=("assets/languages/", METRICS),
    check=check_trade_tables,
)

PICTURED = {
    "home": "The jobs on the bench",
    "plan": "What to do with each slot, and why",
    "walk": "One string, one leaf, four answers",
}

# What a first visit waits for; the rest is fetched when it is needed or when the copy is kept.
AT_START = (
    "app.zip",
    "canvaskit/chromium/canvaskit.wasm",
    "main.dart.js",
    "packages.zip",
    "pyodide/pyodide.asm.mjs",
    "pyodide/pyodide.asm.wasm",
    "pyodide/python_stdlib.zip",
)
WORKER = ("sw.js", "fetch_checked.js", "go_back.js")
"""The service worker's parts, published as one file."""
HARDEST = (*AT_START, "canvaskit/canvaskit.wasm")
"""What is packed as hard as can be: browsers take one of two builds of the drawing engine."""


def build(
    app: PublishedApp,
    out: Path,
    *,
    base: str = "./",
    hubs: tuple[str, ...] = (),
    lineage: Lineage | None = None,
) -> str:
    """Write the whole site of `app` into folder `out` and return its build id.

    `base` is the path the site will live under; the default works under any. `hubs` are the
    other origins the page may talk to. `out` must be new, empty or an earlier site. `lineage` are
    the builds before it; unless it is given, the site in `out` is its predecessor. BuildError, and
    nothing written, where a trade table is not as it must be.
    """
    check_base(base)
    app.check()
    if lineage is None:
        lineage = lineage_after(out) if (out / LISTING).exists() else Lineage()
    files = site_files(app, base, hubs, recovery=lineage.recovery)
    files, build = with_worker(files, lineage)
    files |= on_the_host_only(app)
    clear(out)
    for path, data in (files | squeezed(files, SQUEEZED, HARDEST)).items():
        (out / path).parent.mkdir(parents=True, exist_ok=True)
        (out / path).write_bytes(data)
    return build


def site_files(
    app: PublishedApp, base: str, hubs: tuple[str, ...] = (), *, recovery: str = ""
) -> dict[str, bytes]:
    """Path and bytes of everything in the site but its worker and list."""
    web = Path(flet_web.get_package_web_dir())
    files = patch.client_files(web) | python_files(app, web / "pyodide")
    files["main.dart.js"] = without_languages(files["main.dart.js"])
    files[FONT] = icon_font(icons_named(app_files(app)), files[FONT])
    for path in sorted(ASSETS.glob("icons/*.png")):
        files[f"icons/{path.name}"] = path.read_bytes()
    for path in sorted(ASSETS.glob("fonts/*.woff2")):
        files[f"assets/fonts/{path.name}"] = path.read_bytes()
    for name in ("python.js", "bench_io.js", "press.js", "worker.js"):
        files[name] = (WEB / name).read_bytes()
    files["shell.js"] = script(
        *(WEB / "shell.js", WEB / "kept_copy.js"), also=(WEB / "bench_io.js", WEB / "index.html")
    )
    files["manifest.json"] = _manifest(app, base, _pictures())
    files["index.html"] = _index(app, base, hubs, files, recovery)
    return files


def python_files(app: PublishedApp, python: Path, kept: Path = COMPILED) -> dict[str, bytes]:
    """The archives of Python: the standard library, what the start screen needs, and the rest.

    `packages.zip` is imported from as it is; what lies in `app.zip` and `rest.zip` is unpacked.
    """
    ours = app_files(app)
    if METRICS in ours:
        ours[METRICS] = font_metrics(ours[METRICS])
    check_imports(ours)
    at_start = reached(ours, app.module)
    at_start |= {path for path in ours if path.startswith(app.start_screen)}
    packages = compiled(package_files(app, WHEELS, first=True), python, kept)
    loose = {path: data for path, data in packages.items() if must_be_a_file(path)}
    first = {path: data for path, data in ours.items() if path in at_start}
    rest = {path: data for path, data in ours.items() if path not in at_start}
    rest |= package_files(app, WHEELS, first=False)
    return {
        "pyodide/python_stdlib.zip": zipped(
            compiled(stdlib_files(python / "python_stdlib.zip"), python, kept), packed=False
        ),
        "packages.zip": zipped(
            {p: data for p, data in packages.items() if p not in loose}, packed=False
        ),
        "app.zip": zipped(loose | compiled(first, python, kept), packed=False),
        "rest.zip": zipped(compiled(rest, python, kept)),
    }


def on_the_host_only(app: PublishedApp) -> dict[str, bytes]:
    """What belongs to the site and is not kept on devices: licences, and pictures for the store."""
    web = Path(flet_web.get_package_web_dir())
    return _pictures() | {
        "licences/client.txt": (web / "assets" / "NOTICES").read_bytes(),
        "licences/packages.txt": licences(app, WHEELS),
        "licences/type.txt": (ASSETS / "fonts" / "LICENCE.txt").read_bytes(),
    }


def _index(
    app: PublishedApp, base: str, hubs: tuple[str, ...], files: dict[str, bytes], recovery: str
) -> bytes:
    blanks = {
        "base": escape(base),
        "csp": escape(content_policy(hubs)),
        "name": escape(app.name),
        "description": escape(app.description),
        "module": escape(app.module),
        "build": "{{build}}",  # known only when everything else is
        "recovery": recovery,
        "parts": json.dumps(_parts(files)),
    }
    return filled((WEB / "index.html").read_text(encoding="utf-8"), blanks).encode()


def _parts(files: dict[str, bytes]) -> dict[str, dict[str, int]]:
    """What a first visit waits for: how much of each travels, and how much it unpacks to."""
    return {
        path.replace("chromium/", ""): {
            "sent": sent_size(files[path], SQUEEZED),
            "unpacked": len(files[path]),
        }
        for path in AT_START
    }


def content_policy(hubs: tuple[str, ...] = ()) -> str:
    """The page's content security policy: this origin, and the hubs named at build time."""
    reach = " ".join(("'self'", *hubs))
    return (
        "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; "
        "style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self' data:; "
        f"connect-src {reach} data: blob:; worker-src 'self' blob:; media-src 'self' data: blob:; "
        "object-src 'none'; base-uri 'self'; form-action 'none'"
    )


def _pictures() -> dict[str, bytes]:
    """Pictures of the screens, which a device may show before it installs the app."""
    found = sorted(ASSETS.glob("pictures/*.png"))
    return {f"pictures/{path.name}": path.read_bytes() for path in found}


def _manifest(app: PublishedApp, base: str, screens: dict[str, bytes]) -> bytes:
    """What a device installs. Its id is one for a whole host: a `base` tells two benches apart."""
    manifest = json.loads((WEB / "manifest.json").read_text(encoding="utf-8"))
    manifest |= {"name": app.name, "short_name": app.name}
    manifest |= localised({"description": app.description})
    for shortcut in manifest["shortcuts"]:
        shortcut |= localised({name: shortcut[name] for name in SHORTCUT})
    manifest["id"] = f"{base.strip('./')}/{manifest['id']}".lstrip("/")
    if screens:
        manifest["screenshots"] = [_screenshot(path, data) for path, data in screens.items()]
    return json.dumps(manifest, indent=1, ensure_ascii=False).encode()


def _screenshot(path: str, png: bytes) -> dict[str, str]:
    width, height = (int.from_bytes(png[at : at + 4], "big") for at in (16, 20))
    return {
        "src": path,
        "sizes": f"{width}x{height}",
        "type": "image/png",
        "form_factor": "wide" if width > height else "narrow",
        "label": PICTURED[PurePosixPath(path).stem.partition("-")[0]],
    }


def with_worker(files: dict[str, bytes], lineage: Lineage) -> tuple[dict[str, bytes], str]:
    """`files` and the worker, which holds the hash of each of them, with their build id.

    The id is that of the sources and the recovery: what came before gives it no other.
    """
    worker = script(*(WEB / name for name in WORKER)).decode()
    worker = worker.replace("{{recovery}}", lineage.recovery)
    build = build_id({**files, "sw.js": worker.encode()})
    index = filled(files["index.html"].decode(), {"build": build}).encode()
    files = {**files, "index.html": index}
    listed = entries(files)
    known = KnownBuild(build, digest_of((str(e["path"]), str(e["sha256"])) for e in listed))
    lineage = lineage.after(build)
    blanks = {
        "build": build,
        "files": json.dumps(listed, separators=(",", ":")),
        "earlier": json.dumps([asdict(one) for one in lineage.earlier]),
    }
    worker = filled(worker, blanks)
    beside = {
        LISTING: listing(files, build),
        RECORD: record(known, lineage),
        "sw.js": worker.encode(),
    }
    return {**files, **beside}, build


def filled(template: str, blanks: dict[str, str]) -> str:
    """`template` with each {{name}} of `blanks` filled in."""
    return re.sub(r"\{\{(\w+)\}\}", lambda match: blanks[match[1]], template)


def check_base(base: str) -> None:
    """BuildError where no site can live under `base`."""
    if base != "./" and not re.fullmatch(r"/((?!\.\.?/)[\w.~-]+/)*", base):
        raise BuildError(
            f"--base {base!r} is not a path a site can live under",
            next="Write it with a slash at both ends, such as /bench/",
        )


def clear(out: Path) -> None:
    """Make room for a site; BuildError where `out` holds anything else."""
    if out.exists() and any(out.iterdir()) and not (out / "precache.json").exists():
        raise BuildError(
            f"{out} holds something that is not a site of ours",
            safe="It was left as it is.",
            next="Name a new or empty folder",
        )
    shutil.rmtree(out, ignore_errors=True)
