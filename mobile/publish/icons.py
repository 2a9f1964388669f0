"""The icon font cut down to the icons that can appear.

The client brings 8,600 icons in 1.3 MB. The site takes those that the app names as `ft.Icons.X`
and the few that the client's own controls draw. The cut for the controls is checked in; it is
made again with `python -m mobile.publish.icons` (needs fonttools).
"""

from __future__ import annotations

import io
import re
from pathlib import Path

from shared.errors import BuildError

CONTROLS_ONLY = Path(__file__).resolve().parent.parent / "web" / "icons-of-controls.otf"
FONT = "assets/fonts/MaterialIcons-Regular.otf"
# What buttons to go back, menus, selections, chips, fields and pickers of the client draw.
OF_CONTROLS = (
    *("arrow_back", "arrow_back_ios", "arrow_back_ios_new", "arrow_drop_down", "arrow_drop_up"),
    *("arrow_forward", "arrow_upward", "arrow_downward", "arrow_right", "calendar_today", "cancel"),
    *("check", "chevron_left", "chevron_right", "clear", "close", "edit", "error", "expand_less"),
    *("expand_more", "first_page", "keyboard", "keyboard_arrow_down", "keyboard_arrow_up"),
    *("last_page", "menu", "more_horiz", "more_vert", "remove", "search", "unfold_more"),
)
_NAMED = re.compile(rb"\bIcons\.([A-Z][A-Z0-9_]*)\b")
_STYLES = ("outlined", "rounded", "sharp")


def icons_named(sources: dict[str, bytes]) -> frozenset[str]:
    """Every X that `sources` write as Icons.X."""
    code = (data for path, data in sources.items() if path.endswith(".py"))
    return frozenset(name.decode() for data in code for name in _NAMED.findall(data))


def icon_font(named: frozenset[str], whole: bytes) -> bytes:
    """The font with the icons `named` and those of the controls, cut from the `whole` one.
    BuildError where an icon is not in it."""
    if not {glyph_of(name) for name in named} - {glyph_of(name.upper()) for name in OF_CONTROLS}:
        return CONTROLS_ONLY.read_bytes()
    try:
        return cut(named, whole)
    except ImportError:
        raise BuildError(
            f"The app names icons ({', '.join(sorted(named))}) and fonttools is not installed",
            next="Install fonttools, or draw the sign as text or on a canvas",
        ) from None


def glyph_of(name: str) -> str:
    """The font's own name for the icon X of Icons.X."""
    icon = name.lower()
    for style in _STYLES:
        if icon.endswith(f"_{style}"):
            return _safe(icon.removesuffix(f"_{style}")) + f"_{style}"
    return f"{_safe(icon)}_baseline"


def _safe(icon: str) -> str:
    return f"_{icon}" if icon[0].isdigit() else icon


def cut(named: frozenset[str], whole: bytes) -> bytes:
    """A font with only the icons `named` and those of the controls; needs fonttools."""
    from fontTools.subset import Options, Subsetter  # type: ignore[import-untyped, unused-ignore]
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped, unused-ignore]

    font = TTFont(io.BytesIO(whole), recalcTimestamp=False)
    wanted = {glyph_of(name) for name in named} | {glyph_of(name.upper()) for name in OF_CONTROLS}
    options = Options()
    options.notdef_outline, options.glyph_names, options.hinting = True, False, False
    cutter = Subsetter(options)
    cutter.populate(glyphs=sorted(wanted & set(font.getGlyphOrder())))
    cutter.subset(font)
    made = io.BytesIO()
    font.save(made)
    return made.getvalue()


if __name__ == "__main__":
    import flet_web  # type: ignore[import-untyped]

    CONTROLS_ONLY.write_bytes(
        cut(frozenset(), (Path(flet_web.get_package_web_dir()) / FONT).read_bytes())
    )
