"""Writes a page as SVG 1.1: one user unit is one millimetre, so it prints at true size."""

from __future__ import annotations

from html import escape

from logic.drawing.page import MM_PER_POINT, PageElement, PaperPage, Solid, Trace


def svg(page: PaperPage) -> str:
    """The page as a stand-alone SVG document."""
    size = f"{_number(page.width_mm)} {_number(page.height_mm)}"
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" viewBox="0 0 {size}" '
        f'width="{_number(page.width_mm)}mm" height="{_number(page.height_mm)}mm" '
        'font-family="Helvetica, Arial, sans-serif">'
    )
    title = f"<title>{escape(page.title)}</title>"
    paper = (
        f'<rect width="{_number(page.width_mm)}" height="{_number(page.height_mm)}" fill="#fff"/>'
    )
    return "\n".join(
        [head, title, paper, *(_drawn(element) for element in page.elements), "</svg>\n"]
    )


def _drawn(element: PageElement) -> str:
    if isinstance(element, Trace):
        return _trace(element)
    if isinstance(element, Solid):
        return _solid(element)
    x, y = (_number(value) for value in element.at)
    weight = ' font-weight="bold"' if element.bold else ""
    turn = f' transform="rotate(-90 {x} {y})"' if element.turned else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{_number(element.size_pt * MM_PER_POINT)}" '
        f'text-anchor="{element.anchor}"{weight}{turn}>{escape(element.text)}</text>'
    )


def _trace(trace: Trace) -> str:
    steps = " L ".join(f"{_number(x)} {_number(y)}" for x, y in trace.points)
    fill = "none" if trace.fill is None else _grey(trace.fill)
    dash = f' stroke-dasharray="{_number(trace.dash_mm)}"' if trace.dash_mm else ""
    return (
        f'<path d="M {steps}{" Z" if trace.closed else ""}" fill="{fill}" stroke="#000" '
        f'stroke-width="{_number(trace.width_mm)}"{dash}/>'
    )


def _solid(solid: Solid) -> str:
    drawn = (
        f"M {_number(left)} {_number(top)} h {_number(width)} v {_number(height)} "
        f"h {_number(-width)} Z"
        for left, top, width, height in solid.rectangles
    )
    return f'<path d="{" ".join(drawn)}" fill="#000"/>'


def _grey(level: float) -> str:
    return f"#{round(255 * level):02x}" + f"{round(255 * level):02x}" * 2


def _number(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"
