"""The board of one instrument: how its frets are spaced, and where each of them is."""

from __future__ import annotations

from collections.abc import Iterator

from logic.app.views.board_views import BoardView, FretPlace
from logic.app.views.pieces import Choice
from logic.app.wording.wording import Wording
from logic.bench.instrument.boards import (
    HALF_FRETS,
    FretSpacing,
    half_frets_of,
    pitches_of,
    spacing_of,
)
from logic.bench.instrument.fret_names import fret_name
from logic.physics.neck import fret_position_mm
from shared.instrument import Instrument
from shared.units import Length, Unit
from shared.words import listed, mark, numeral, say, say_many

_SPACINGS = {
    FretSpacing.SEMITONES: mark("Every semitone"),
    FretSpacing.DIATONIC: mark("Diatonic"),
    FretSpacing.LISTED: mark("Own list"),
    FretSpacing.NONE: mark("No frets"),
}


def board_view(
    name: str, title: str, instrument: Instrument, wording: Wording, said: str = ""
) -> BoardView:
    """Where the frets are and how they are spaced."""
    spacing, board = spacing_of(instrument), instrument.fretboard
    places = tuple(_places(instrument, wording)) if instrument.fretted else ()
    halves = half_frets_of(instrument) if spacing is FretSpacing.DIATONIC else ()
    tied = Choice("tied", say("Tied round the neck"), chosen=board.tied)
    return BoardView(
        instrument=name,
        title=title,
        spacings=tuple(
            Choice(each.value, say(word), chosen=each is spacing)
            for each, word in _SPACINGS.items()
        ),
        halves=tuple(
            Choice(half, say("Fret {name}", name=half), chosen=half in halves)
            for half in HALF_FRETS
        )
        if spacing is FretSpacing.DIATONIC
        else (),
        tied=tied if instrument.fretted else None,
        count=count_in_words(instrument),
        first=_first_in_words(instrument, wording),
        octave=board.octave_fret if instrument.fretted else 0,
        places=places,
        picture=_picture_in_words(instrument, places, wording),
        left_handed=instrument.left_handed,
        said=said,
    )


def board_in_words(instrument: Instrument) -> str:
    """How the frets are spaced and how many there are, as in: diatonic with 6½, 15 frets."""
    if not instrument.fretted:
        return say("none")
    match spacing_of(instrument):
        case FretSpacing.SEMITONES:
            spaced = say("every semitone")
        case FretSpacing.DIATONIC:
            halves = half_frets_of(instrument)
            spaced = say("diatonic with {halves}", halves=listed(halves)) if halves else ""
            spaced = spaced or say("diatonic")
        case _:
            spaced = say("own list")
    counted = count_in_words(instrument) if instrument.last_fret else ""
    tied = say("tied") if instrument.fretboard.tied else ""
    return ", ".join(filter(None, (spaced, counted, tied)))


def count_in_words(instrument: Instrument) -> str:
    """How many frets there are."""
    if not instrument.fretted:
        return say("none")
    if instrument.last_fret is None:
        return say("not counted")
    return say_many("{count} fret", "{count} frets", instrument.last_fret)


def _first_in_words(instrument: Instrument, wording: Wording) -> str:
    """How far the first fret is from the nut: what a rule on the board can confirm."""
    if not instrument.fretted:
        return ""
    at = _away(instrument, instrument.semitones_at(1), wording)
    return say("First fret {away} from the nut", away=at)


def _places(instrument: Instrument, wording: Wording) -> Iterator[FretPlace]:
    """Every fret, and every whole semitone below the last where none is."""
    frets = pitches_of(instrument.fretboard)
    number = {at: place for place, at in enumerate(frets, 1)}
    whole = {float(at) for at in range(1, int(frets[-1]) + 1)}
    below = 0.0
    for at in sorted(whole | set(frets)):
        away = _away(instrument, at, wording)
        pitch = _semitones(at)
        fret = number.get(at, 0)
        called = fret_name(instrument.fretboard, fret) if fret else ""
        name = say("Fret {number}", number=called) if fret else say("no fret")
        yield FretPlace(
            semitones=at,
            number=fret,
            figure=called,
            name=f"{name} · {pitch}",
            away=away,
            begins=fret_position_mm(1.0, below) if below else 0.0,
            ends=fret_position_mm(1.0, at),
            said=_place_in_words(called, pitch, away),
        )
        below = at


def _place_in_words(fret: str, pitch: str, away: str) -> str:
    if fret:
        return say(
            "Fret {number}: {pitch} above the open string, {away} from the nut. Take it out",
            number=fret,
            pitch=pitch,
            away=away,
        )
    return say(
        "No fret at {pitch} above the open string, {away} from the nut. Put one there",
        pitch=pitch,
        away=away,
    )


def _semitones(at: float) -> str:
    if at == 1:
        return say("1 semitone")
    return say("{count} semitones", count=numeral(at, "g"))


def _away(instrument: Instrument, semitones: float, wording: Wording) -> str:
    """How far from the nut, as a rule shows it: in millimetres, or in inches."""
    away = Length.of(round(fret_position_mm(instrument.scale.mm, semitones), 3), Unit.MM)
    if wording.unit is Unit.MM:
        return away.show(Unit.MM, places=1, decimal_mark=wording.decimal_mark)
    return away.show(Unit.INCH, decimal_mark=wording.decimal_mark)


def _picture_in_words(
    instrument: Instrument, places: tuple[FretPlace, ...], wording: Wording
) -> str:
    """The drawing for those who do not see it."""
    if not places:
        return say("The board has no frets.")
    frets = [place for place in places if place.there]
    gaps = [_semitones(place.semitones) for place in places if not place.there]
    said = say(
        "The board to scale: {count}, the first {first} from the nut, the last {last}.",
        count=say_many("{count} fret", "{count} frets", len(frets)),
        first=frets[0].away,
        last=frets[-1].away,
    )
    if not gaps:
        return said
    return say("{said} None at {places}.", said=said, places=listed(gaps))
