"""Writes `assets/docs/window.md`: the window's model beside published figures and common practice.

Run `python -m tests.published.window_page` after a change of model or tables; a test fails while
the page is older than what the code computes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from logic.bench.instrument.changes import Changes, changed_instrument
from logic.bench.instrument.presets import preset_instrument
from logic.bench.instrument.strung_string import StrungString, strung_string
from logic.bench.instrument.targets import aim
from logic.bench.window.attack import PluckForces, pluck_forces
from logic.bench.window.edges import Playing, edges_of
from logic.bench.window.string_window import StringWindow, windows
from logic.physics.friction import held_cents
from logic.physics.neck import Neck, stopped_clearance_mm
from logic.physics.sharpness import (
    Finger,
    Spring,
    cents_at_clearance,
    cents_sharp,
    stretch,
)
from logic.physics.strings import bending
from logic.testing import TRADE
from logic.trade_loader import ASSETS
from shared.instrument import Attack, Instrument, Player, StringSpec
from shared.pitch import Pitch
from shared.units import Length
from tests.published.figures import figure

PAGE: Path = ASSETS / "docs" / "window.md"
THOU = 0.0254
SHOWN = (
    *("electric guitar", "steel-string guitar", "nylon-string guitar", "12-string guitar"),
    *("bass guitar", "5-string bass", "8-string guitar", "soprano ukulele", "tenor ukulele"),
    *("mandolin", "5-string banjo"),
)
PAPER = Neck(650.0, 5.0)
PROTOTYPE = Spring(51.0, 0.00236)


def page() -> str:
    """The whole page."""
    parts = (
        *(INTRODUCTION, _published(), _measured_guitar(), PRACTICE),
        *(_practice(kind) for kind in SHOWN),
        *(DISAGREEMENTS, _forces(), _tunings(), _finger(), _friction(), LIMITS),
    )
    return "\n\n".join(part.strip() for part in parts) + "\n"


INTRODUCTION = """
# The window, and what it rests on

This page is written by the code that finds the windows (`python -m tests.published.window_page`),
and a test keeps it up to date. Clearances are over the first fret, in thousandths of an inch
(thou).

**Low edge.** A plucked string starts as a triangle; half a period later it is that triangle
reflected through its middle (d'Alembert, from memory), so over a fret at x it swings A·x/p
towards the board, with A = F·p(L - p)/(T·L) for a force F at p from the bridge. The low edge is
the least clearance at which nine plucks in ten touch no fret, and at which the string does not
lie under the plane of the crowns. Every fret is looked at, with relief and action.

**High edge.** The four-term model of M. B. Anderson and R. G. Beausoleil, J. Acoust. Soc. Am.
156(1), 683 (2024), called A&B below: the clearance at which fret 1 is sharp by the budget.
Without one of the player's own the budget is what beats once a second, but no less than 5 and no
more than 10 cents. Common practice finds a string too high under the hand long before that, so
the window ends at the lower of the two.

**Target.** The technician's own figure, else common practice, moved inside the window where it
must.
"""

PRACTICE = """
## Windows beside common practice

Usual instruments at medium attack, usual relief. *Decides* is the fret that asks for the low edge
(*plane*: the plane of the crowns, where pluck alone would ask for less). *Practice* is the
common-practice target (no source). *Rule* is the gap over fret 2 with the string stopped at fret
1, plus 2 to 4 thou, as an independent repairer's web tutorial states it. *Hand* is where common
practice finds it too high; *pitch* where the budget is spent. The last column is how sharp fret 1
is at the common-practice target.
"""

DISAGREEMENTS = """
## Where model and practice disagree

* **Lowest strings.** Practice gives the bass strings of a guitar 4 thou more than the trebles.
  The model asks for *less* there: their tension is no lower and the action over them is higher.
  What is left may be that players pluck them harder, or custom; it is not tuned away here.
* **How much is needed at all.** The model's low edges lie up to 11 thou under practice. A
  builder's analysis page argues the same: much of the usual height is not required except for
  wear.
* **Nylon and steel with a high action.** The plane of the crowns alone is near the practice
  target (a zero fret would stand there), so little room is left below it.
* **Pitch is seldom the limit.** At 5 to 10 cents a well-strung instrument would bear twice the
  usual height; the hand objects first. Slack or very thick strings are the exception: there pitch
  decides.
* **Wound strings** take the stiffness of the core alone. Cores are seldom printed on the packet,
  and κ goes with their square.
"""

ATTACK = """
## Attack

Nine of ten medium plucks stay under this force into the board. One figure a family, calibrated so
that the string that asks for most, of all the family's usual instruments, has its low edge 3 thou
under common practice. Light and heavy are 8 % either way, worth the trade's 2 thou.
"""

FINGER = """
## The finger

Cents at fret 1 of an electric guitar at the common-practice target, by how far behind the fret the
fingertip kinks the string and how far it pushes it below the crown, mm. Windows use 10 mm and no
push, which agrees with the measured guitar; over a low nut a firm hand outweighs the clearance.
"""

FRICTION = """
## Why a sticking slot is ruled out first

Over 10° of break angle a wound string may hold back up to {wound:.0f} cents and a plain one
{plain:.0f} (bounds on friction: Groves & Kemp, Archives of Acoustics, 2019), more than any window
is wide.
"""

LIMITS = """
## What the model leaves out

Bending of the neck by the hand, movement of the string's other end over a sticking slot, the
length behind nut and saddle that shares the stretch, plucks along the board rather than into it
(the force is the part into it, found by calibration), strings that buzz on a flat or worn crown,
and how a player hears. One player's plucks are taken as log-normal. A buzz that was heard always
outweighs these figures.
"""


def _published() -> str:
    rows = [
        (what, f"{published}", f"{ours}", source)
        for what, published, ours, source in (*_paper_rows(), *_steel_rows())
    ]
    return "## Published figures\n\n" + _table(("", "published", "here", "source"), rows)


def _paper_rows() -> Iterable[tuple[str, str, str, str]]:
    ten = Finger(10.0)
    first, last = (cents_sharp(PAPER, 1.0, fret, PROTOTYPE) for fret in (1, 12))
    touched = cents_sharp(PAPER, 1.0, 1, PROTOTYPE, ten)
    stretched = f"{stretch(PAPER, 1.0, 1, ten) * 1e6:.0f}e-6"
    saddle = bending(51.0, 0.43, 650.0) * 650.0
    yield "stretch at fret 1, finger 10 mm behind", "47e-6", stretched, "A&B II"
    yield "length term at fret 12, cents", "-0.17", f"{last.length:.2f}", "A&B"
    yield "density term at fret 1, finger 10 mm, cents", "0.04", f"{touched.density:.2f}", "A&B"
    yield "all terms at fret 1, cents", "1.727 (evaluated)", f"{first.total:.3f}", "A&B III"
    yield "saddle setback, mm", "1.54", f"{saddle:.2f}", "A&B"
    for finger, published in ((Finger(), "-0.51"), (ten, "-0.57")):
        mean = sum(stretch(PAPER, 1.0, fret, finger) for fret in range(1, 13)) / 12
        name = f"nut setback, finger {finger.behind_mm:g} mm behind, mm"
        yield name, published, f"{-51.0 * 650.0 * mean / 2:.2f}", "A&B VI"


def _steel_rows() -> Iterable[tuple[str, str, str, str]]:
    electric = preset_instrument("electric guitar", TRADE)
    for string, published in ((1, "72.6"), (2, "68.9"), (3, "74.2")):
        found = _on_neck(electric.spec(string), electric).wire
        at_648 = found.tension_n * (648.0 / 647.7) ** 2
        name = f"{electric.spec(string).gauge} {electric.spec(string).pitch}, 648 mm, N"
        yield f"plain steel {name}", published, f"{at_648:.1f}", "open tutorial table, T = μ(2Lf)²"


def _measured_guitar() -> str:
    found = [figure("ab_measured_fret1_range"), figure("ab_measured_fret12_range")]
    rows = []
    for index, name in enumerate(("E4", "B3", "G3", "D3", "A2", "E2")):
        cents = []
        for one in found:
            given = one.inputs
            neck = Neck(given["X0"], given["b"] + given["c"], saddle_setback_mm=given["dS"])
            spring = Spring(given["kappa"][index], given["B0"][index])
            terms = cents_sharp(neck, given["b"], given["n"], spring, Finger(given["d"]))
            cents.append(f"{terms.total:.1f}")
        rows.append((name, *cents))
    rows.append(("**measured**", "4.5 to 5.75", "15.75 to 19.5"))
    return (
        "## A measured guitar\n\nSix nylon strings, nut 1.4 mm and saddle 6.9 mm over the crowns, "
        "finger 10 mm behind the fret (A&B, measured), in cents.\n\n"
        + _table(("string", "fret 1", "fret 12"), rows)
    )


def _practice(kind: str) -> str:
    instrument = preset_instrument(kind, TRADE)
    found = windows(instrument, Player(), TRADE)
    rows = [_practice_row(spec, instrument, found[spec.string]) for spec in instrument.strings]
    heads = (
        "string",
        "N",
        "κ",
        "low edge",
        "decides",
        "practice",
        "rule",
        "hand",
        "pitch",
        "cents",
    )
    action = ", ".join(f"{n}: {length}" for n, length in sorted(instrument.action_12.items()))
    about = f"Scale {instrument.scale}, action at fret 12 {action}."
    return f"### {kind}\n\n{about}\n\n{_table(heads, rows)}"


def _practice_row(
    spec: StringSpec, instrument: Instrument, window: StringWindow
) -> tuple[str, ...]:
    on_neck = _on_neck(spec, instrument)
    usual = aim(spec, instrument, Player(), TRADE)
    edges = edges_of(spec, Playing(instrument, Player(), _medium(instrument.kind), TRADE))
    stopped = stopped_clearance_mm(on_neck.neck, 1, 2)
    return (
        f"{instrument.name_of(spec.string)} {spec.pitch}",
        f"{on_neck.wire.tension_n:.0f}",
        f"{on_neck.wire.kappa:.0f}",
        f"{_thou(window.low_mm)} ± {_thou(window.low_sd_mm)}",
        f"fret {edges.low.fret}" if edges.low.fret else "plane",
        f"{usual.usual_mm / THOU:.0f}",
        f"{stopped / THOU + 2:.0f} to {stopped / THOU + 4:.0f}",
        f"{(usual.usual_mm + usual.above_mm) / THOU:.0f}",
        f"{edges.high.clearance_mm / THOU:.0f} ({edges.allowed_cents:.0f} cents)",
        f"{on_neck.cents(usual.usual_mm, 1):.1f}",
    )


def _forces() -> str:
    rows = [
        (
            family.name,
            f"{family.from_bridge_mm:g} mm",
            f"{family.force_n:.2f} N",
            f"{TRADE.relief.of(family.kinds[0]).usual.mm} mm",
        )
        for family in TRADE.attack.families
    ]
    return ATTACK + "\n" + _table(("family", "from the bridge", "force", "usual relief"), rows)


def _tunings() -> str:
    electric, rows = preset_instrument("electric guitar", TRADE), []
    for pitch, gauge in (
        ("E2", "46"),
        ("D2", "46"),
        ("C2", "46"),
        ("C2", "56"),
        ("B1", "46"),
        ("A1", "46"),
    ):
        changes = Changes(
            pitches={6: Pitch.parse(pitch)},
            gauges={} if gauge == "46" else {6: Length.parse(f"{gauge} thou")},
        )
        found = windows(changed_instrument(electric, changes, TRADE), Player(), TRADE)[6]
        rows.append(
            (
                pitch,
                f".0{gauge}",
                _thou(found.low_mm),
                _thou(found.target_mm),
                _thou(found.in_tune_to_mm or 0),
                found.note,
            )
        )
    heads = ("pitch", "gauge", "low edge", "target", "in tune to", "what the plan says")
    return "## Tuning the low string down\n\n" + _table(heads, rows)


def _finger() -> str:
    electric, rows = preset_instrument("electric guitar", TRADE), []
    for string in (6, 3, 1):
        spec = electric.spec(string)
        on_neck, usual = _on_neck(spec, electric), aim(spec, electric, Player(), TRADE).usual_mm
        cents = (
            cents_at_clearance(on_neck.neck, usual, 1, on_neck.wire.spring, Finger(*finger))
            for finger in ((0, 0), (5, 0), (10, 0), (6, 0.1), (6, 0.2), (6, 0.3))
        )
        rows.append((f"{string} {spec.pitch}", *(f"{one:.1f}" for one in cents)))
    heads = ("string", "none", "5 behind", "10 behind", "6, push 0.1", "6, push 0.2", "6, push 0.3")
    return FINGER + "\n" + _table(heads, rows)


def _friction() -> str:
    return FRICTION.format(wound=held_cents(0.26, 10), plain=held_cents(0.17, 10))


def _on_neck(spec: StringSpec, instrument: Instrument) -> StrungString:
    usual = aim(spec, instrument, Player(), TRADE).usual_mm
    return strung_string(spec, instrument, TRADE, usual)


def _medium(kind: str) -> PluckForces:
    return pluck_forces(kind, Attack.MEDIUM, TRADE)


def _thou(mm: float) -> str:
    return f"{mm / THOU:.1f}"


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
