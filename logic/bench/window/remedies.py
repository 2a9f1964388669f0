"""Where no clearance is both clean and in tune: which single change would open a window.

Every change is tried on the physics; only what works is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from logic.bench.instrument.changes import (
    Changes,
    changed_instrument,
    changed_player,
    relief_mm,
)
from logic.bench.instrument.fret_names import fret_names
from logic.bench.window.attack import PluckForces, pluck_forces
from logic.bench.window.edges import Playing, WindowEdges, edges_of
from shared.amounts import CentsAmount
from shared.instrument import Attack, StringSpec
from shared.pitch import Pitch
from shared.units import MM_PER_INCH, Length, Unit
from shared.words import mark, say

_LIGHTER = {Attack.HEAVY: Attack.MEDIUM, Attack.MEDIUM: Attack.LIGHT}
_GENTLER = {Attack.MEDIUM: mark("a medium attack"), Attack.LIGHT: mark("a light attack")}
HIGHEST_MIDI = 127
_SHARPS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


def what_would_open(spec: StringSpec, playing: Playing, edges: WindowEdges) -> tuple[str, ...]:
    """The single changes, in words, that would give this string a window."""
    return tuple(
        words
        for words, change in _changes(spec, playing, edges)
        if _opens(change, spec.string, playing)
    )


def _opens(change: Changes, string: int, playing: Playing) -> bool:
    other = replace(
        playing,
        instrument=changed_instrument(playing.instrument, change, playing.trade),
        player=changed_player(playing.player, change),
        plucks=_plucks(playing, change),
    )
    return edges_of(other.instrument.spec(string), other).meet


def _plucks(playing: Playing, change: Changes) -> PluckForces:
    """The same player, so much lighter as one attack is than the other."""
    if change.attack is None:
        return playing.plucks
    kind, trade = playing.instrument.kind, playing.trade
    was, now = (pluck_forces(kind, one, trade) for one in (playing.player.attack, change.attack))
    return replace(playing.plucks, usual_n=playing.plucks.usual_n * now.usual_n / was.usual_n)


def _changes(
    spec: StringSpec, playing: Playing, edges: WindowEdges
) -> Iterator[tuple[str, Changes]]:
    tried, lighter = playing.trade.attack.tried, _LIGHTER.get(playing.player.attack)
    if lighter is not None:
        yield say(_GENTLER[lighter]), Changes(attack=lighter)
    gauge = Length.of(round(spec.gauge.mm * tried.thicker_by_factor / MM_PER_INCH, 3), Unit.INCH)
    yield (
        say("a thicker string ({gauge})", gauge=gauge),
        Changes(gauges={spec.string: gauge}),
    )
    if spec.pitch.midi + tried.semitones_up <= HIGHEST_MIDI:
        pitch = raised(spec.pitch, tried.semitones_up)
        yield say("tuning up to {pitch}", pitch=pitch.show()), Changes(pitches={spec.string: pitch})
    known_mm = relief_mm(playing.instrument, playing.trade)
    relief = Length.of(round(known_mm + tried.more_relief_mm, 2))
    yield say("relief of {relief}", relief=relief), Changes(relief=relief)
    cents = edges.allowed_cents + tried.more_cents
    accepted = say(
        "accepting {cents} at fret {first}",
        cents=CentsAmount(cents, ".0f"),
        first=fret_names(playing.instrument, spec.string).first,
    )
    yield accepted, Changes(budget_cents=cents)


def raised(pitch: Pitch, semitones: int) -> Pitch:
    """The pitch so many semitones up, spelled with sharps."""
    octave, step = divmod(pitch.midi + semitones, 12)
    return Pitch.parse(f"{_SHARPS[step]}{octave - 1}")
