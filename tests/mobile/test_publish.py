"""The publisher: same bytes from the same sources, loud when what it patches has moved."""

from __future__ import annotations

import hashlib
import json
import re
import socket
import zipfile
from dataclasses import replace
from functools import partial
from io import BytesIO
from pathlib import Path

import flet_web  # type: ignore[import-untyped]
import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.trade_loader import check_trade_tables
from mobile.publish import compiled as compiling
from mobile.publish import patch
from mobile.publish.build import AT_START, NUTWRIGHT, build, content_policy, site_files
from mobile.publish.commands import main
from mobile.publish.icons import glyph_of, icon_font, icons_named
from mobile.publish.pack import PublishedApp, app_files, zipped
from mobile.publish.precache import TYPES, build_id
from mobile.publish.stale import build_if_stale, inputs_digest
from mobile.publish.stdlib import check_imports, stdlib_files
from mobile.publish.trim import without_languages
from mobile.publish.wheels import wheels
from mobile.start.start_screen import SHORTCUTS
from shared.errors import BuildError
from tests import once
from tests.benchmarks.bench_start import bytes_at_start
from tests.browser.harness import PLAIN

pytestmark = pytest.mark.builds

WEB = Path(flet_web.get_package_web_dir())
WAYS = {"check": "Quick check", "job": "New job"}
FILES = st.dictionaries(st.text("abcdef/.", min_size=1, max_size=8), st.binary(max_size=30))


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> PublishedApp:
    """Nutwright as it stands now, copied so that nothing changes under the tests."""
    root = tmp_path_factory.mktemp("rooms")
    for path, data in app_files(NUTWRIGHT).items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_bytes(data)
    return replace(NUTWRIGHT, root=root)


@pytest.fixture(scope="module")
def site(app: PublishedApp, shared_folder: Path) -> Path:
    """Nutwright, built once."""
    return once.site(shared_folder, app)


def contents(folder: Path) -> dict[str, bytes]:
    """Path and bytes of every file below `folder`."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


@pytest.mark.long  # where nothing was built before: its worker builds what the others wait for
def test_the_same_sources_build_the_same_bytes(
    app: PublishedApp, site: Path, tmp_path: Path
) -> None:
    """A second build into another folder does not differ in one byte."""
    build(app, tmp_path / "again")
    assert contents(tmp_path / "again") == contents(site)


@given(files=FILES, packed=st.booleans())
def test_an_archive_depends_on_its_files_alone(files: dict[str, bytes], packed: bool) -> None:
    """The order in which files are named changes nothing."""
    backwards = dict(reversed(files.items()))
    assert zipped(files, packed=packed) == zipped(backwards, packed=packed)
    assert build_id(files) == build_id(backwards)


def test_everything_kept_is_listed_with_its_hash(site: Path) -> None:
    """precache.json names every file but itself, what a device does not keep, the worker and
    compressed copies, rightly."""
    listing = json.loads((site / "precache.json").read_text())
    found = {name: hashlib.sha256(data).hexdigest() for name, data in contents(site).items()}
    left_out = ("precache.json", "builds.json", "sw.js", "licences/", "pictures/")
    wanted = {
        n: h
        for n, h in found.items()
        if not n.startswith(left_out) and not n.endswith((".gz", ".br"))
    }
    assert {entry["path"]: entry["sha256"] for entry in listing["files"]} == wanted
    assert {Path(name).suffix for name in wanted} <= set(TYPES)


def test_nothing_names_another_host_to_load_from(site: Path) -> None:
    """Neither our page nor the client's starter knows an address outside the site."""
    for name in ("index.html", "python.js", "shell.js", "bench_io.js", "worker.js", "sw.js"):
        assert not re.search(r"https?://", (site / name).read_text()), name
    assert b"flutter-native-wasm" not in (site / "main.dart.js").read_bytes()
    assert b"serviceWorkerSettings: {" not in (site / "flutter_bootstrap.js").read_bytes()


def test_the_manifest_names_icons_that_are_there(site: Path) -> None:
    """Every icon exists in the size it claims (PNG specification: IHDR holds width and height)."""
    manifest = json.loads((site / "manifest.json").read_text())
    assert manifest["name"] == "Nutwright"
    for icon in manifest["icons"]:
        header = (site / icon["src"]).read_bytes()[16:24]
        size = (int.from_bytes(header[:4], "big"), int.from_bytes(header[4:], "big"))
        assert icon["sizes"] == "{}x{}".format(*size)


def test_what_the_manifest_names_lies_in_its_scope(site: Path) -> None:
    """Start, shortcuts, icons and screenshots are relative addresses that stay below the site, each
    file there in the size it claims; a shortcut has an icon of 96 pixels and more (W3C Web
    Application Manifest; its note on shortcut icons)."""
    manifest = json.loads((site / "manifest.json").read_text())
    assert [manifest[name] for name in ("start_url", "scope")] == ["./", "./"]
    assert {icon["purpose"] for icon in manifest["icons"]} == {"any", "maskable"}
    assert {shot["form_factor"] for shot in manifest["screenshots"]} == {"narrow", "wide"}
    assert all(shot["label"] for shot in manifest["screenshots"])
    starts = {shortcut["url"]: shortcut["name"] for shortcut in manifest["shortcuts"]}
    assert starts == {f"./#start={way}": name for way, name in WAYS.items()}
    assert set(WAYS) == set(SHORTCUTS)
    pictures = [icon for shortcut in manifest["shortcuts"] for icon in shortcut["icons"]]
    assert {"96x96", "192x192"} == {icon["sizes"] for icon in pictures}
    for picture in (*pictures, *manifest["screenshots"]):
        header = (site / picture["src"]).read_bytes()[16:24]
        size = (int.from_bytes(header[:4], "big"), int.from_bytes(header[4:], "big"))
        assert picture["sizes"] == "{}x{}".format(*size)


@pytest.mark.parametrize(
    ("base", "name"), [("./", "nutwright"), ("/", "nutwright"), ("/one/", "one/nutwright")]
)
def test_a_bench_below_a_named_path_is_an_app_of_its_own(base: str, name: str) -> None:
    """An id counts for the whole host: with a path named, two benches there are two apps."""
    manifest = json.loads(site_files(PLAIN, base)["manifest.json"])
    assert manifest["id"] == name


def test_archives_of_the_first_screen_are_packed_on_the_way_alone(site: Path) -> None:
    """What lies in them lies as it is, and a packed copy of the whole is beside each: a third
    smaller than the same files packed one by one."""
    for name in ("app.zip", "packages.zip", "pyodide/python_stdlib.zip"):
        with zipfile.ZipFile(site / name) as archive:
            files = {entry: archive.read(entry) for entry in archive.namelist()}
            assert {info.compress_type for info in archive.infolist()} == {zipfile.ZIP_STORED}
        assert (site / f"{name}.gz").stat().st_size < len(zipped(files))


def test_no_dependency_list_travels_along(site: Path) -> None:
    """The archives hold code only: a dependency list would be looked up on the network."""
    for name in ("app.zip", "packages.zip", "rest.zip"):
        with zipfile.ZipFile(site / name) as archive:
            names = archive.namelist()
        assert not [n for n in names if n.endswith(("requirements.txt", "pyproject.toml"))]
        assert not [n for n in names if "/publish/" in n or "dist-info" in n]


def test_the_licences_of_what_is_shipped_go_along(site: Path) -> None:
    """Client, packages and type each bring their licence text."""
    assert "SIL OPEN FONT LICENSE" in (site / "licences" / "type.txt").read_text()
    packages = (site / "licences" / "packages.txt").read_text()
    for name in ("pydantic", "pydantic_core", "tinydb", "msgpack", "flet"):
        assert re.search(rf"^{name}-[\d.]+\.dist-info", packages, re.MULTILINE) or name == "flet"
    assert (site / "licences" / "client.txt").stat().st_size > 100_000


def test_the_weight_stays_in_its_budget(site: Path) -> None:
    """A first start waits for at most 11 MB as gzip sends it; a device keeps at most 41 MB,
    whichever of its two builds the drawing engine takes there."""
    listing = json.loads((site / "precache.json").read_text())["files"]
    for engine in ("chromium", "any"):
        here = [entry["size"] for entry in listing if entry.get("engine", engine) == engine]
        assert 20e6 < sum(here) < 41e6
    sent = [
        site / f"{path}.gz" if (site / f"{path}.gz").exists() else site / path for path in AT_START
    ]
    assert sum(path.stat().st_size for path in sent) < 11e6


def test_the_first_screen_weighs_little_more_than_an_empty_page(
    site: Path, shared_folder: Path
) -> None:
    """What a first start waits for is at most 1.03 times that of an empty page published so."""
    assert bytes_at_start(site) <= 1.03 * bytes_at_start(once.site(shared_folder, PLAIN))


def test_compressed_copies_hold_the_same(site: Path) -> None:
    """Each gzip copy unpacks to the file it stands for."""
    import gzip

    for copy in site.rglob("*.gz"):
        assert gzip.decompress(copy.read_bytes()) == copy.with_suffix("").read_bytes()


@pytest.mark.parametrize(
    ("change", "name"),
    [
        (patch.bootstrap_js, "flutter_bootstrap.js"),
        (patch.main_js, "main.dart.js"),
        (patch.font_manifest, "assets/FontManifest.json"),
        (patch.runtime_mjs, "pyodide/pyodide.asm.mjs"),
        (patch.lock_json, "pyodide/pyodide-lock.json"),
    ],
)
def test_a_moved_client_fails_the_build(change: object, name: str) -> None:
    """What is patched is there once; without it, or twice, the build says what moved."""
    assert callable(change)
    source = (WEB / name).read_bytes()
    change(source)
    bad = b"[]" if "Font" in name else b"{}" if name.endswith(".json") else b"nothing known"
    with pytest.raises(BuildError, match="flet-web"):
        change(bad)
    if name.endswith("js"):
        with pytest.raises(BuildError):
            change(source + source)


def test_a_broken_trade_table_fails_the_build(tmp_path: Path) -> None:
    """The site is not begun while a table is not as it must be, and the tables are what is asked
    about."""
    assert NUTWRIGHT.check is check_trade_tables
    broken = partial(check_trade_tables, tmp_path / "assets")
    (tmp_path / "assets").mkdir()
    (tmp_path / "assets" / "attack.json").write_text('{"about": "x",\n "famlies": []}', "utf-8")
    with pytest.raises(BuildError, match=r"assets/attack\.json, line 2: .*famlies"):
        build(replace(NUTWRIGHT, check=broken), tmp_path / "site")
    assert not (tmp_path / "site").exists()


@pytest.mark.parametrize("place", patch.REFUSALS, ids=lambda place: place[0])
def test_a_client_that_would_keep_a_refusal_to_itself_fails_the_build(
    place: tuple[str, bytes, bytes, bytes],
) -> None:
    """Each place where the client takes note that it cannot draw is made to tell the page."""
    what, before, after, reason = place
    source = (WEB / "main.dart.js").read_bytes()
    patched = patch.main_js(source)
    assert patched.count(b"benchUndrawn?.(" + reason + b")\n") >= 1
    moved = re.sub(b"(" + before + b")(" + after + b")", rb"\1elsewhere;\2", source)
    with pytest.raises(BuildError, match=what):
        patch.main_js(moved)


def test_the_client_goes_without_the_colouring_of_code(site: Path) -> None:
    """More than a tenth of its program are languages that no screen shows: they are left out, and
    nothing that is left asks for a value that is not there."""
    whole, cut = (WEB / "main.dart.js").read_bytes(), (site / "main.dart.js").read_bytes()
    assert len(cut) < 0.9 * len(whole)
    made = rb'^\w\(\$,"\w+","(\w+)",\(\)=>'
    gone = set(re.findall(made, whole, re.MULTILINE)) - set(re.findall(made, cut, re.MULTILINE))
    assert len(gone) > 150
    assert not gone & set(re.findall(rb"\$\.(\w+)\(\)", cut))
    with pytest.raises(BuildError, match="coloured"):
        without_languages(cut)


def test_the_policy_reaches_only_this_origin_and_named_hubs() -> None:
    """Content Security Policy: no source beyond 'self' unless a hub was named at build time."""
    assert not re.search(r"https?:", content_policy())
    hub = "https://hub.example"
    assert hub in content_policy((hub,)).split("connect-src")[1].split(";")[0]


@pytest.mark.parametrize("base", ["bench", "/bench", "//", "/a b/", "/../", "https://x/"])
def test_a_base_that_is_no_path_is_refused(base: str, tmp_path: Path) -> None:
    """A wrong --base ends with one line, and nothing is written."""
    assert main(["build", "--out", str(tmp_path / "out"), "--base", base]) == 2
    assert not (tmp_path / "out").exists()


def test_a_folder_that_is_not_a_site_is_left_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Building over somebody's files is refused in one line."""
    (tmp_path / "photo.txt").write_text("mine")
    assert main(["build", "--out", str(tmp_path)]) == 2
    assert "It was left as it is." in capsys.readouterr().err
    assert (tmp_path / "photo.txt").read_text() == "mine"


def test_it_builds_only_when_something_changed(tmp_path: Path) -> None:
    """A second run does nothing; a changed word in the app's code builds again."""
    code = tmp_path / "app" / "main.py"
    code.parent.mkdir()
    code.write_text("x = 1\n")
    app = PublishedApp(code.parent, "main", ("*.py",), "Try", "A try", wheels=("six",))
    assert build_if_stale(app, tmp_path / "site")
    assert not build_if_stale(app, tmp_path / "site")
    before = inputs_digest(app)
    code.write_text("x = 2\n")
    assert inputs_digest(app) != before
    assert build_if_stale(app, tmp_path / "site")


def test_without_node_the_sources_go_as_they_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No Node is no obstacle: Python on the phone then compiles for itself."""
    monkeypatch.setattr(compiling, "find_node", lambda kept: None)
    files = {"a.py": b"x = 1\n", "b.json": b"{}"}
    assert compiling.compiled(files, WEB / "pyodide", tmp_path) == files


def test_compiling_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    """Sets and names in the code come out alike: nothing hangs on a hash seed or a clock."""
    if compiling.find_node(tmp_path / "kept") is None:
        pytest.skip("no Node here, and none can be fetched")
    files = {"a.py": b"x = {'a', 'b', 'c', 'd'}\ndef f(y):\n    return y in {'p', 'q', 'r'}\n"}
    one, two = (
        compiling.compiled(files, WEB / "pyodide", tmp_path / name) for name in ("one", "two")
    )
    assert one == two
    assert list(one) == ["a.pyc"]


def test_serving_what_is_not_a_site_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A folder that no build wrote ends in one line that says how to make one."""
    assert main(["serve", str(tmp_path), "--no-open"]) == 2
    assert "build --out" in capsys.readouterr().err


def test_a_taken_port_is_said_in_words(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two servers on one port: the second says which port and what to do."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert main(["serve", str(site), "--no-open", "--port", str(port)]) == 2
    assert f"Port {port}" in capsys.readouterr().err


def test_a_module_the_phone_lacks_fails_the_build() -> None:
    """Our code may not import what the standard library on the phone was left without."""
    kept = stdlib_files(WEB / "pyodide" / "python_stdlib.zip")
    assert "json/__init__.py" in kept
    assert "unittest/mock.py" not in kept
    check_imports(app_files(NUTWRIGHT))
    for code in (
        b"import tkinter\n",
        b"from http import server\n",
        b"def f():\n    import xml.dom\n",
    ):
        with pytest.raises(BuildError, match="leaves out"):
            check_imports({"logic/x.py": code})


def test_icons_are_found_where_they_are_named() -> None:
    """`Icons.X` in any source counts, and each has a name in the font."""
    named = icons_named({"a.py": b"ft.Icon(ft.Icons.ADD_CARD_OUTLINED)", "b.txt": b"Icons.NO"})
    assert named == {"ADD_CARD_OUTLINED"}
    assert glyph_of("ADD_CARD_OUTLINED") == "add_card_outlined"
    assert glyph_of("ADD") == "add_baseline"


def test_an_icon_beyond_the_cut_needs_the_whole_font(monkeypatch: pytest.MonkeyPatch) -> None:
    """Icons of the controls come from the small font; any other is cut anew or refused in words."""
    small = icon_font(frozenset({"CLOSE"}), b"")
    assert len(small) < 10_000
    monkeypatch.setitem(__import__("sys").modules, "fontTools.subset", None)
    with pytest.raises(BuildError, match="ROCKET"):
        icon_font(frozenset({"ROCKET"}), b"")


def test_wheels_once_fetched_need_no_network(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A cache with the right hashes is used as it is; a wrong byte in it is not."""
    archive = BytesIO()
    with zipfile.ZipFile(archive, "w") as wheel:
        wheel.writestr("a.py", "x = 1\n")
    cached = tmp_path / "a-1-py3-none-any.whl"
    cached.write_bytes(archive.getvalue())
    listing = tmp_path / "wheels.txt"
    digest = hashlib.sha256(archive.getvalue()).hexdigest()
    listing.write_text(f"a==1 --hash=sha256:{digest}\n")
    monkeypatch.setattr("mobile.publish.wheels._fetch", lambda cache, wanted: None)
    assert wheels(tmp_path, listing) == (cached,)
    cached.write_bytes(archive.getvalue() + b"x")
    with pytest.raises(BuildError, match="pinned"):
        wheels(tmp_path, listing)


def test_what_a_phone_never_runs_does_not_travel_to_it() -> None:
    """The command line, the hub, the publisher and what tests share are no part of the archive."""
    paths = app_files(NUTWRIGHT)
    assert "logic/app/app.py" in paths
    for part in ("logic/testing.py", "logic/cli/", "logic/sync/hub/", "mobile/publish/", "tests/"):
        assert [path for path in paths if path.startswith(part)] == []
