"""What draws the codes of labels travels to the phone, and nobody waits for it."""

from __future__ import annotations

import ast
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from mobile.publish import pack
from mobile.publish.build import AT_START, NUTWRIGHT, WHEELS
from mobile.publish.start_files import reached
from mobile.publish.stdlib import check_imports
from shared.errors import BuildError

pytestmark = pytest.mark.builds
CODE = {f"segno/{name}.py" for name in ("__init__", "consts", "encoder")}


@pytest.fixture(scope="module")
def behind() -> dict[str, bytes]:
    """The packages that are fetched behind the first screen."""
    return pack.package_files(NUTWRIGHT, WHEELS, first=False)


def test_of_the_package_only_the_squares_travel(behind: dict[str, bytes]) -> None:
    """Three modules, which import of the standard library only what the phone has."""
    ours = {path: data for path, data in behind.items() if path.startswith("segno")}
    assert set(ours) == CODE
    check_imports({path: _at_once(data) for path, data in ours.items()})
    imported = {
        name
        for data in ours.values()
        for node in ast.parse(data).body
        if isinstance(node, ast.ImportFrom) and node.level
        for name in (node.module, *(alias.name for alias in node.names))
    }
    assert {"encoder", "consts"} <= imported and not imported & {"writers", "utils"}


def _at_once(source: bytes) -> bytes:
    """The imports of a module that importing it runs; those inside its functions nobody calls."""
    imports = [
        node for node in ast.parse(source).body if isinstance(node, ast.Import | ast.ImportFrom)
    ]
    return "\n".join(map(ast.unparse, imports)).encode()


def test_the_first_screen_does_not_wait_for_it(behind: dict[str, bytes]) -> None:
    """Neither the packages of the first screen nor its own modules hold what draws codes, and the
    modules that draw them are not among what it imports."""
    first = pack.package_files(NUTWRIGHT, WHEELS, first=True)
    assert not [path for path in first if path.startswith("segno")]
    at_start = reached(pack.app_files(NUTWRIGHT), NUTWRIGHT.module)
    assert not [path for path in at_start if "label" in path]
    assert "rest.zip" not in AT_START
    size = sum(len(data) for path, data in behind.items() if path.startswith("segno"))
    assert size < 160_000


def test_the_squares_are_the_same_without_the_rest(
    behind: dict[str, bytes], tmp_path: Path
) -> None:
    """As it is packed for the phone, the package draws what the whole package draws."""
    archive = tmp_path / "packages.zip"
    with zipfile.ZipFile(archive, "w") as packed:
        for path in CODE:
            packed.writestr(path, behind[path])
    script = (
        "import sys; {before}import segno; "
        "code = segno.make_qr('https://bench.example/#i=0123456789abcdef', error='m', "
        "boost_error=False); print([list(r) for r in code.matrix],"
        " 'segno.writers' in sys.modules)"
    )
    before = f"sys.path.insert(0, {str(archive)!r}); "
    said = [
        subprocess.run(
            [sys.executable, "-c", script.format(before=put)],
            capture_output=True,
            text=True,
            check=True,
        ).stdout.rpartition(" ")
        for put in (before, "")
    ]
    assert said[0][0] == said[1][0] and len(said[0][0]) > 1000
    assert [tail.strip() for _, _, tail in said] == ["False", "True"]


def test_a_package_that_has_moved_fails_the_build() -> None:
    """What is left out of it stands there once; without it, or twice, the build says so."""
    for path, line in pack._UNASKED.items():
        assert pack._as_asked(path, b"a = 1\n" + line) == b"a = 1\n"
        for moved in (b"a = 1\n", line + line):
            with pytest.raises(BuildError, match="exactly one"):
                pack._as_asked(path, moved)
    assert pack._as_asked("tinydb/__init__.py", b"x") == b"x"
