"""What the site takes from Flet's prebuilt web client, and the few strings changed in it.

Each change names a string that must occur exactly once, so a Flet upgrade that moves it fails the
build instead of the page.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

from shared.errors import BuildError

# Folders and files of the client that a canvas app with no maths, maps, video or sound reaches.
KEPT = (
    "assets/AssetManifest.bin",
    "assets/AssetManifest.bin.json",
    "assets/FontManifest.json",
    "assets/fonts/MaterialIcons-Regular.otf",
    "assets/fonts/roboto.woff2",
    "assets/shaders/ink_sparkle.frag",
    "assets/shaders/stretch_effect.frag",
    "canvaskit/canvaskit.js",
    "canvaskit/canvaskit.wasm",
    "canvaskit/chromium/canvaskit.js",
    "canvaskit/chromium/canvaskit.wasm",
    "flutter_bootstrap.js",
    "main.dart.js",
    "pyodide/pyodide.asm.mjs",
    "pyodide/pyodide.asm.wasm",
    "pyodide/pyodide.mjs",
    "version.json",
)


FAMILY = "Bench"
"""The name under which the client finds our own type family."""


def client_files(web: Path) -> dict[str, bytes]:
    """Path and patched bytes of every file kept from the client in folder `web`."""
    files = {path: _read(web, path) for path in KEPT}
    files["flutter_bootstrap.js"] = bootstrap_js(files["flutter_bootstrap.js"])
    files["main.dart.js"] = main_js(files["main.dart.js"])
    files["rive/wasm/rive_native.js"] = NO_ANIMATIONS
    files["assets/FontManifest.json"] = font_manifest(files["assets/FontManifest.json"])
    files["pyodide/pyodide.mjs"] = without_source_map(files["pyodide/pyodide.mjs"])
    files["pyodide/pyodide.asm.mjs"] = runtime_mjs(files["pyodide/pyodide.asm.mjs"])
    files["pyodide/pyodide-lock.json"] = lock_json(_read(web, "pyodide/pyodide-lock.json"))
    return files


def bootstrap_js(source: bytes) -> bytes:
    """The client's starter without its self-removing worker and without its own loading picture."""
    text = source.decode()
    text = replace_once(
        text,
        r"    serviceWorkerSettings: \{\n        serviceWorkerVersion: [^\n]*\n    \},\n",
        "",
        "flutter_bootstrap.js",
    )
    text = replace_once(
        text,
        r"window\.addEventListener\('flutter-first-frame', \(\) => \{\n"
        r"    document\.getElementById\('loading'\)\?\.remove\(\);\n\}, \{ once: true \}\);\n",
        "",
        "flutter_bootstrap.js",
    )
    return without_source_map(text.encode())


NO_ANIMATIONS = b"globalThis.RiveNative = () => new Promise(() => {});\n"
"""Stands in for an animation player nothing here uses: it never gets ready, as when offline."""


REFUSALS = (
    (
        "the box drawn for what cannot be built",
        rb"\(a\)\{var s=a\.a\n\s*",
        rb'return A\.\w+\(s instanceof A\.\w+\?s:null,""\)\}',
        b"s",
    ),
    (
        "what cannot be laid out or painted",
        rb"\(a,b,c\)\{",
        rb'A\.\w+\(new A\.\w+\(b,c,"rendering library",A\.\w+\("during "\+a\+',
        b"b",
    ),
    (
        "the box drawn for a control that is not right",
        rb"p=this\.\w+\n\s*",
        rb'\$\.\w+\.\$1\("ErrorControl build: "\+p\)',
        b"p",
    ),
    (
        "the app's own end",
        rb'\(a\)\{var s,r,q,p,o\n\s*if\(a\.length===0\)return""\n\s*',
        rb's=this\.\w+\n\s*if\(s==null\)s="The application encountered an error',
        b"a",
    ),
)
"""Where the client takes note that it cannot draw: what each place is, what stands before it and
after it, and what holds the reason there. A client for release draws an empty box, or nothing, and
keeps silent: it is made to tell the page (mobile/web/python.js)."""


PRESSES = (
    (
        "the ripple of what is touched",
        rb"\b\w+\(a,b\)\{",
        rb"var s,r,q,p,o=this\n\s*if\(a!=null\)\{s=a\.gag\(\)",
        b"return",
    ),
    (
        "the focus that follows a click",
        rb"\$1\(a\)\{var s,r,q,p,o=this\.a\n\s*",
        rb"if\(!o\.\w+\(a\)\)return\n\s*s=o\.\w+\(a\)\n\s*if\(s!=null\)\{r=s\.a\n"
        rb"\s*q=v\.G\.document\.activeElement",
        b"if(globalThis.benchTouched?.(a))return",
    ),
)
"""What the client would draw anew for each touch, before the screen that answers it and a dozen
times after: the page shows it instead (mobile/web/press.js). What stands before each place, what
begins it, and what is put there."""


def main_js(source: bytes) -> bytes:
    """The client with its one outside address turned into one of ours, telling what it cannot
    draw, and drawing nothing anew for a touch alone."""
    outside = rb'"https://[\w./@-]*/flutter-native-wasm@[\d.]+/"'
    source = _once(source, outside, b'"rive/"', "the animation player's address")
    for what, before, after, reason in REFUSALS:
        reporting = rb"\1globalThis.benchUndrawn?.(" + reason + rb")\n\2"
        source = _once(source, rb"(" + before + rb")(" + after + rb")", reporting, what)
    for what, before, begins, instead in PRESSES:
        put = rb"\1" + instead + rb"\n\2"
        source = _once(source, rb"(" + before + rb")(" + begins + rb")", put, what)
    return source


def _once(source: bytes, pattern: bytes, by: bytes, what: str) -> bytes:
    done, count = re.subn(pattern, by, source)
    if count != 1:
        raise moved("main.dart.js", what)
    return done


def font_manifest(source: bytes) -> bytes:
    """The fonts loaded at start: the icons, the plain text fallback and our own; no mathematics."""
    kept = [entry for entry in json.loads(source) if entry["family"] == "MaterialIcons"]
    if len(kept) != 1:
        raise moved("FontManifest.json", "one family MaterialIcons")
    kept.append({"family": "Roboto", "fonts": [{"asset": "fonts/roboto.woff2"}]})
    bold = {"asset": "fonts/Bench-Bold.woff2", "weight": 700}
    kept.append({"family": FAMILY, "fonts": [{"asset": "fonts/Bench-Regular.woff2"}, bold]})
    return json.dumps(kept).encode()


def lock_json(source: bytes) -> bytes:
    """The Python runtime's package list, empty: everything needed is packed with the app."""
    info = json.loads(source).get("info")
    if not isinstance(info, dict) or "abi_version" not in info:
        raise moved("pyodide-lock.json", "info.abi_version")
    return json.dumps({"info": info, "packages": {}}).encode()


def runtime_mjs(source: bytes) -> bytes:
    """The Python runtime, asking for a twentieth more memory at a time and not for a fifth: what it
    has asked for a browser never takes back, and most of a fifth would lie idle all day."""
    text = replace_once(
        without_source_map(source).decode(),
        r"var overGrownHeapSize=oldSize\*\(1\+\.2/cutDown\);",
        "var overGrownHeapSize=oldSize*(1+.05/cutDown);",
        "pyodide.asm.mjs",
    )
    return text.encode()


def without_source_map(source: bytes) -> bytes:
    """`source` without the line that sends a debugger for a map we do not ship."""
    return re.sub(rb"\n//# sourceMappingURL=\S+", b"", source)


def replace_once(text: str, pattern: str, by: str, where: str) -> str:
    """`text` with the one match of `pattern` replaced; BuildError unless there is exactly one."""
    done, count = re.subn(pattern, lambda _: by, text)
    if count != 1:
        raise moved(where, pattern.strip())
    return done


def moved(where: str, what: str) -> BuildError:
    """The error for a client that is not the one this publisher knows."""
    return BuildError(
        f"{where} of the installed flet-web does not hold exactly one {what!r}",
        safe="No site was written.",
        next="Install the pinned Flet, or look at what moved and change mobile/publish/patch.py",
    )


def _read(web: Path, path: str) -> bytes:
    try:
        return (web / path).read_bytes()
    except FileNotFoundError:
        raise moved("The web folder", path) from None
