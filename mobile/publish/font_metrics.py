"""What the app must know of its type before it can lay words out, read from the font files.

Phones have no fontTools, so the figures travel as one small file, which is kept beside the fonts
and names the digest of the very files it was read from. A build takes it as it is while the fonts
are those; for any others it reads them anew (which needs fonttools and brotli) or is refused.
`python -m mobile.publish.font_metrics` writes the file after the fonts were made anew.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from shared.bootstrap import ROOT
from shared.errors import BuildError

FONTS = tuple(sorted((ROOT / "assets" / "fonts").glob("*.woff2")))
METRICS = "assets/fonts/metrics.json"
"""Where the figures lie, in the checkout and on the phone alike."""


def font_metrics(kept: bytes, fonts: Iterable[Path] = FONTS) -> bytes:
    """The metrics of `fonts`: those `kept` where they were read from these files, else read anew.

    BuildError where they have to be read and fontTools is not installed.
    """
    fonts = tuple(fonts)
    if json.loads(kept)["sha256"] == _digest(fonts):
        return kept
    try:
        return read_metrics(fonts)
    except ImportError:
        raise BuildError(
            f"The fonts are not those that {METRICS} was read from",
            safe="No site was written.",
            next="Install fonttools and brotli",
        ) from None


def read_metrics(fonts: Iterable[Path] = FONTS) -> bytes:
    """JSON with the height of a capital and of a line, and which characters advance by how much.

    All in units of which `units_per_em` make the size that type is set in. BuildError where the
    weights of the family differ: words would then be measured in one and set in another.
    """
    fonts = tuple(fonts)
    first, *others = (_measured(font) for font in fonts)
    if any(other != first for other in others):
        raise BuildError("The weights of our type differ in their advances")
    return json.dumps({"sha256": _digest(fonts), **first}, ensure_ascii=False, indent=1).encode()


def _measured(path: Path) -> dict[str, Any]:
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped, unused-ignore]

    font = TTFont(path)
    line = font["hhea"].ascent - font["hhea"].descent + font["hhea"].lineGap
    advances: dict[int, str] = {}
    for code, glyph in sorted(font.getBestCmap().items()):
        width = font["hmtx"][glyph][0]
        advances[width] = advances.get(width, "") + chr(code)
    return {
        "units_per_em": font["head"].unitsPerEm,
        "capital": font["OS/2"].sCapHeight,
        "line": line,
        "advances": {str(width): advances[width] for width in sorted(advances)},
    }


def _digest(fonts: Iterable[Path]) -> str:
    digest = hashlib.sha256()
    for font in fonts:
        digest.update(hashlib.sha256(font.read_bytes()).digest())
    return digest.hexdigest()


if __name__ == "__main__":
    (ROOT / METRICS).write_bytes(read_metrics())
