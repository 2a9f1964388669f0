"""What the look sends to the client is what Flet's own classes would send."""

from __future__ import annotations

import flet as ft
import msgpack  # type: ignore[import-untyped]
from flet.messaging.protocol import configure_encode_object_for_msgpack

from mobile.parts.theme import FONT, PALETTES, flet_theme


def test_our_theme_is_sent_as_flets_own_would_be() -> None:
    """Our few fields of the theme reach the client as `ft.Theme` and `ft.ColorScheme` do.

    Only an empty setting for passing from page to page is not sent: there is one page.
    """
    palette = PALETTES["night"]
    colours = ft.ColorScheme(
        primary=palette.brass,
        on_primary=palette.on_brass,
        surface=palette.ground,
        on_surface=palette.text,
        outline=palette.hairline,
    )
    whole = ft.Theme(font_family=FONT, color_scheme=colours, scaffold_bgcolor=palette.ground)
    assert _sent(flet_theme(palette)) | {"page_transitions": {}} == _sent(whole)


def _sent(value: object) -> dict[str, object]:
    encode = configure_encode_object_for_msgpack(ft.BaseControl)  # type: ignore[no-untyped-call]
    sent: dict[str, object] = msgpack.unpackb(msgpack.packb(value, default=encode))
    return sent
