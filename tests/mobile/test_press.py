"""What the client would draw anew for a touch alone is taken out of it, or the build fails."""

from __future__ import annotations

import re
from pathlib import Path

import flet_web
import pytest

from mobile.publish import patch
from shared.errors import BuildError

CLIENT = Path(flet_web.get_package_web_dir()) / "main.dart.js"


@pytest.mark.parametrize("place", patch.PRESSES, ids=lambda place: place[0])
def test_a_touch_alone_draws_nothing_anew(place: tuple[str, bytes, bytes, bytes]) -> None:
    """The client leaves each of these places at once; one that has moved fails the build."""
    what, before, begins, instead = place
    source = CLIENT.read_bytes()
    patched = patch.main_js(source)
    assert re.search(before + re.escape(instead) + rb"\n" + begins, patched)
    found = re.search(rb"(" + before + rb")(" + begins + rb")", source)
    assert found is not None
    with pytest.raises(BuildError, match=what):
        patch.main_js(source.replace(found[0], b"moved()", 1))
