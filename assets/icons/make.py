"""Draws the app's icon, a nut seen end-on with one brass string in its slot, and the icons of its
shortcuts, a slot with a tick or a cross above it, with no library.

    python assets/icons/make.py

Writes icon.svg and the PNG files beside this script. Everything is laid out on a 512-unit square.
"""

from __future__ import annotations

import struct
import zlib
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
GROUND, BONE, BRASS = (0x14, 0x11, 0x0D), (0xF0, 0xE7, 0xD6), (0xE0, 0xAE, 0x55)
SIDE = 512
LEFT, RIGHT, TOP, BOTTOM = 48.0, 464.0, 184.0, 356.0
# Each slot: its centre and width, widest on the bass side. Depth follows the string it holds.
SLOTS = ((124.0, 84.0), (238.0, 64.0), (336.0, 44.0), (412.0, 30.0))
# The one brass string: its centre, level and radius. It lies on the floor of its slot.
STRING = (124.0, 184.0 + 84.0 / 4 + 7.0, 35.0)
# A shortcut's sign: strokes of one width above a nut with one slot.
STROKE = 30.0
TICK = ((172.0, 172.0, 232.0, 232.0), (232.0, 232.0, 350.0, 96.0))
CROSS = ((256.0, 88.0, 256.0, 248.0), (176.0, 168.0, 336.0, 168.0))
SIGN_TOP, SIGN_BOTTOM, SIGN_SLOT = 304.0, 424.0, (256.0, 84.0)
FINE = 3  # samples per pixel and axis

Colour = tuple[int, int, int]
Stroke = tuple[float, float, float, float]


@dataclass(frozen=True)
class Icon:
    """One file: its name, its side in pixels, how much of the square the drawing fills, and the
    sign where it is a shortcut's."""

    name: str
    side: int
    fill: float
    sign: tuple[Stroke, ...] = ()


ICONS = (
    Icon("icon-48.png", 48, 1.08),
    Icon("icon-192.png", 192, 1.0),
    Icon("icon-512.png", 512, 1.0),
    Icon("icon-maskable-192.png", 192, 0.74),
    Icon("icon-maskable-512.png", 512, 0.74),
    Icon("apple-touch-icon.png", 180, 0.9),
    Icon("shortcut-check-96.png", 96, 0.95, TICK),
    Icon("shortcut-check-192.png", 192, 0.95, TICK),
    Icon("shortcut-job-96.png", 96, 0.95, CROSS),
    Icon("shortcut-job-192.png", 192, 0.95, CROSS),
)


def colour_at(x: float, y: float) -> Colour:
    """What is seen at one point of the 512-unit square."""
    if _in_circle(x, y, *STRING):
        return BRASS
    if not (LEFT <= x <= RIGHT and TOP <= y <= BOTTOM):
        return GROUND
    return GROUND if any(_in_slot(x, y, *slot) for slot in SLOTS) else BONE


def sign_at(x: float, y: float, sign: tuple[Stroke, ...]) -> Colour:
    """What is seen there of a shortcut's icon."""
    if any(_near(x, y, *stroke) for stroke in sign):
        return BRASS
    if not (LEFT + 64 <= x <= RIGHT - 64 and SIGN_TOP <= y <= SIGN_BOTTOM):
        return GROUND
    centre, width = SIGN_SLOT
    floor = SIGN_TOP + width / 4
    straight = abs(x - centre) <= width / 2 and y <= floor
    return GROUND if straight or _in_circle(x, y, centre, floor, width / 2) else BONE


def _near(x: float, y: float, x0: float, y0: float, x1: float, y1: float) -> bool:
    """Whether a point lies on a stroke with round ends."""
    run, rise = x1 - x0, y1 - y0
    along = ((x - x0) * run + (y - y0) * rise) / (run * run + rise * rise)
    along = min(1.0, max(0.0, along))
    return _in_circle(x, y, x0 + along * run, y0 + along * rise, STROKE / 2)


def _in_slot(x: float, y: float, centre: float, width: float) -> bool:
    floor = TOP + width / 4
    straight = abs(x - centre) <= width / 2 and y <= floor
    return straight or _in_circle(x, y, centre, floor, width / 2)


def _in_circle(x: float, y: float, centre: float, level: float, radius: float) -> bool:
    return (x - centre) ** 2 + (y - level) ** 2 <= radius**2


def svg() -> str:
    """The same drawing as a scalable file."""
    shapes = [_rect(0, 0, SIDE, SIDE, GROUND)]
    shapes.append(_rect(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP, BONE))
    for centre, width in SLOTS:
        shapes.append(_rect(centre - width / 2, TOP, width, width / 4, GROUND))
        shapes.append(_circle(centre, TOP + width / 4, width / 2, GROUND))
    shapes.append(_circle(*STRING, BRASS))
    body = "\n".join(f" {shape}" for shape in shapes)
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 512 512">\n{body}\n</svg>\n'


def _rect(x: float, y: float, width: float, height: float, colour: Colour) -> str:
    return (
        f'<rect x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}" fill="{_hex(colour)}"/>'
    )


def _circle(x: float, y: float, radius: float, colour: Colour) -> str:
    return f'<circle cx="{x:g}" cy="{y:g}" r="{radius:g}" fill="{_hex(colour)}"/>'


def _hex(colour: Colour) -> str:
    return "#" + bytes(colour).hex()


def png(icon: Icon) -> bytes:
    """The icon as an opaque true-colour PNG."""
    rows = b"".join(
        b"\0" + b"".join(_pixel(icon, column, row) for column in range(icon.side))
        for row in range(icon.side)
    )
    header = struct.pack(">IIBBBBB", icon.side, icon.side, 8, 2, 0, 0, 0)
    parts = _chunk(b"IHDR", header), _chunk(b"IDAT", zlib.compress(rows, 9)), _chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def _pixel(icon: Icon, column: int, row: int) -> bytes:
    middle, scale = SIDE / 2, SIDE / icon.side / icon.fill
    offset = middle * (1 - 1 / icon.fill)
    seen = [
        _colour(
            icon,
            (column + (i + 0.5) / FINE) * scale + offset,
            (row + (j + 0.5) / FINE) * scale + offset,
        )
        for i in range(FINE)
        for j in range(FINE)
    ]
    return bytes(sum(colour[k] for colour in seen) // len(seen) for k in range(3))


def _colour(icon: Icon, x: float, y: float) -> Colour:
    return sign_at(x, y, icon.sign) if icon.sign else colour_at(x, y)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


if __name__ == "__main__":
    (HERE / "icon.svg").write_text(svg(), encoding="utf-8")
    for each in ICONS:
        (HERE / each.name).write_bytes(png(each))
