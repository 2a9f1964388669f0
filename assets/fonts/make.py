"""Makes the app's type family from Debian's fonts-b612: a subset, plus the accidentals it lacks.

    python assets/fonts/make.py FOLDER-WITH-B612-OTF

The figures are tabular as they come. The result is renamed, because it is not the original; both
are under the SIL Open Font License 1.1 (LICENCE.txt). Needs fonttools and brotli.
"""

from __future__ import annotations

import sys
from pathlib import Path

from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.transformPen import TransformPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FAMILY = "Bench"
HERE = Path(__file__).resolve().parent
WANTED = [
    *range(0x20, 0x7F),
    *range(0xA0, 0x180),  # Latin-1 and Latin Extended-A
    *map(ord, "‐–—‘’‚“”„†•…‰′″‹›⁄€™Ω∂∆∏∑−√∞∫≈≠≤≥←↑→↓✓µ½¼¾⅛⅜⅝⅞⅓⅔♯♭♮κσφΔ×÷"),
]


def main(source: Path) -> None:
    """Write one WOFF2 file per weight beside this script."""
    for weight, stroke in (("Regular", 200), ("Bold", 270)):
        font = TTFont(source / f"B612-{weight}.otf", recalcTimestamp=False)
        for name, (width, shape) in _signs(stroke).items():
            _add(font, name, width, shape)
        _subset(font)
        _rename(font, weight)
        font.flavor = "woff2"
        font.save(HERE / f"Bench-{weight}.woff2")


# One shape is a list of outlines, each a list of points; a point with three pairs is a curve.
Outline = list[tuple[float, ...]]


def _signs(stroke: float) -> dict[str, tuple[int, list[Outline]]]:
    """Sharp, flat, natural and fraction slash, drawn for a stem of `stroke` units."""
    thin = stroke * 0.62
    return {
        "uni266F": (1060, _sharp(thin, stroke)),
        "uni266D": (920, _flat(thin, stroke)),
        "uni266E": (860, _natural(thin, stroke)),
        "fraction": (560, [_slanted(-120, 680, 0, 1500, thin)]),
    }


def _bar(left: float, low: float, right: float, high: float) -> Outline:
    return [(left, low), (right, low), (right, high), (left, high)]


def _slanted(left: float, right: float, low: float, high: float, width: float) -> Outline:
    return [(left, low), (left + width, low), (right, high), (right - width, high)]


def _rising(left: float, right: float, low: float, thick: float, rise: float) -> Outline:
    return [(left, low), (right, low + rise), (right, low + rise + thick), (left, low + thick)]


def _sharp(thin: float, thick: float) -> list[Outline]:
    return [
        _bar(300, -180, 300 + thin, 1480),
        _bar(760 - thin, -80, 760, 1580),
        _rising(100, 960, 280, thick, 130),
        _rising(100, 960, 840, thick, 130),
    ]


def _natural(thin: float, thick: float) -> list[Outline]:
    return [
        _bar(150, 200, 150 + thin, 1620),
        _bar(710 - thin, -220, 710, 1200),
        _rising(150, 710, 250, thick, 110),
        _rising(150, 710, 860, thick, 110),
    ]


def _flat(thin: float, thick: float) -> list[Outline]:
    left, inner = 150.0, 150 + thin
    bowl: Outline = [
        (inner, 760),
        (360, 900, 560, 960, 660, 900),
        (860, 780, 760, 420, inner, 0),
        (inner, thick * 1.15),
        (500, 380, 640, 600, 660 - thick * 0.35, 700),
        (540, 780, 400, 720, inner, 600),
    ]
    return [_bar(left, 0, inner, 1620), bowl]


def _add(font: TTFont, name: str, width: int, shape: list[Outline]) -> None:
    top = font["CFF "].cff.topDictIndex[0]
    pen = T2CharStringPen(width, None)
    for outline in shape:
        _draw(TransformPen(pen, (1, 0, 0, 1, 0, 0)), outline)
    drawn = pen.getCharString(private=top.Private, globalSubrs=font["CFF "].cff.GlobalSubrs)
    strings = top.CharStrings
    strings.charStringsIndex.append(drawn)
    strings.charStrings[name] = len(strings.charStringsIndex) - 1
    top.charset.append(name)
    font.setGlyphOrder([*font.getGlyphOrder()[: len(top.charset) - 1], name])
    font["hmtx"][name] = (width, 0)
    code = 0x2044 if name == "fraction" else int(name.removeprefix("uni"), 16)
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[code] = name


def _draw(pen: TransformPen, outline: Outline) -> None:
    pen.moveTo(outline[0])
    for point in outline[1:]:
        if len(point) == 2:
            pen.lineTo(point)
        else:
            pen.curveTo(point[0:2], point[2:4], point[4:6])
    pen.closePath()


def _subset(font: TTFont) -> None:
    options = Options()
    options.layout_features = ["kern", "mark", "mkmk"]
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]
    options.hinting = False
    options.notdef_outline = True
    options.recalc_timestamp = False
    cutter = Subsetter(options)
    cutter.populate(unicodes=WANTED)
    cutter.subset(font)


def _rename(font: TTFont, weight: str) -> None:
    names = {
        1: FAMILY,
        2: weight,
        3: f"Nutwright: {FAMILY} {weight}",
        4: f"{FAMILY} {weight}",
        6: f"{FAMILY}-{weight}",
    }
    for record in font["name"].names:
        if record.nameID in names:
            record.string = names[record.nameID]
    font["CFF "].cff.fontNames[0] = names[6]
    top = font["CFF "].cff.topDictIndex[0]
    top.FamilyName, top.FullName = FAMILY, names[4]


if __name__ == "__main__":
    main(Path(sys.argv[1]))
