"""What the app knows of its type is generated from the font files, and travels as figures alone."""

from __future__ import annotations

import json
import sys
import zipfile
from io import BytesIO
from pathlib import Path

import flet_web
import pytest

from mobile.publish.build import COMPILED, NUTWRIGHT, python_files
from mobile.publish.font_metrics import FONTS, METRICS, font_metrics, read_metrics
from shared.bootstrap import ROOT
from shared.errors import BuildError

KEPT = (ROOT / METRICS).read_bytes()


def test_the_kept_figures_are_those_of_the_fonts() -> None:
    """Made anew from the font files, the file beside them comes out byte for byte."""
    assert read_metrics() == KEPT
    assert [path.name for path in FONTS] == ["Bench-Bold.woff2", "Bench-Regular.woff2"]


def test_other_fonts_are_read_when_the_site_is_published() -> None:
    """Figures of other files do not go out: a build reads its own fonts."""
    stale = json.dumps({**json.loads(KEPT), "sha256": "0" * 64, "capital": 1}).encode()
    assert font_metrics(stale) == KEPT


def test_without_fonttools_no_other_font_is_published(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine that only builds needs no fontTools for the fonts as they are; for others it is
    told what to install."""
    monkeypatch.setitem(sys.modules, "fontTools.ttLib", None)
    assert font_metrics(KEPT) == KEPT
    with pytest.raises(BuildError, match="fonttools"):
        font_metrics(KEPT, FONTS[:1])


def test_weights_that_differ_are_refused(tmp_path: Path) -> None:
    """Words are measured once, so both weights must advance alike."""
    from fontTools.ttLib import TTFont

    wider = TTFont(FONTS[0])
    wider["hmtx"]["a"] = (2000, 0)
    wider.save(tmp_path / "wider.woff2")
    with pytest.raises(BuildError, match="weights"):
        read_metrics([FONTS[1], tmp_path / "wider.woff2"])


def test_the_figures_are_there_for_the_first_screen() -> None:
    """They lie in the archive that the first screen is drawn from, and no font tool beside them."""
    files = python_files(NUTWRIGHT, Path(flet_web.get_package_web_dir()) / "pyodide", COMPILED)
    with zipfile.ZipFile(BytesIO(files["app.zip"])) as archive:
        assert archive.read(METRICS) == KEPT
        assert not [name for name in archive.namelist() if "publish" in name]
