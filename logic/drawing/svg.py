"""Writes a page as SVG 1.1: one user unit is one millimetre, so it prints at true size."""

from __future__ import annotations

from html import escape

from logic.drawing.page import MM_PER_POINT, Mark, PaperPage, Trace


def svg(page: PaperPage) -> str:
    """The page as a stand-alone SVG document."""
    size = f"{_n(page.width_mm)} {_n(page.height_mm)}"
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" viewBox="0 0 {size}" '
        f'width="{_n(page.width_mm)}mm" height="{_n(page.height_mm)}mm" '
        'font-family="Helvetica, Arial, sans-serif">'
    )
    title = f"<title>{escape(page.title)}</title>"
    paper = f'<rect width="{_n(page.width_mm)}" height="{_n(page.height_mm)}" fill="#fff"/>'
    return "\n".join([head, title, paper, *(_mark(mark) for mark in page.marks), "</svg>\n"])


def _mark(mark: Mark) -> str:
    if isinstance(mark, Trace):
        return _trace(mark)
    x, y = (_n(value) for value in mark.at)
    weight = ' font-weight="bold"' if mark.bold else ""
    turn = f' transform="rotate(-90 {x} {y})"' if mark.turned else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{_n(mark.size_pt * MM_PER_POINT)}" '
        f'text-anchor="{mark.anchor}"{weight}{turn}>{escape(mark.text)}</text>'
    )


def _trace(trace: Trace) -> str:
    steps = " L ".join(f"{_n(x)} {_n(y)}" for x, y in trace.points)
    fill = "none" if trace.fill is None else _grey(trace.fill)
    dash = f' stroke-dasharray="{_n(trace.dash_mm)}"' if trace.dash_mm else ""
    return (
        f'<path d="M {steps}{" Z" if trace.closed else ""}" fill="{fill}" stroke="#000" '
        f'stroke-width="{_n(trace.width_mm)}"{dash}/>'
    )


def _grey(level: float) -> str:
    return f"#{round(255 * level):02x}" + f"{round(255 * level):02x}" * 2


def _n(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"
