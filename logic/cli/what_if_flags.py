"""Options that ask what would follow if something were different, without touching the job."""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Iterable
from typing import TypeVar

from logic.bench.instrument.changes import Changes
from logic.bench.instrument.plausibility import read_length
from logic.bench.tables.trade_tables import TradeTables
from logic.cli.printing import reading_input
from shared.errors import InputError
from shared.instrument import Attack
from shared.pitch import Pitch
from shared.units import Length, LengthOf
from shared.words import say

_Value = TypeVar("_Value")
_MOST_STRING, _MOST_CENTS = 24, 50.0


def add_what_if(parser: argparse.ArgumentParser) -> None:
    """Attack, tuning, gauge, relief, target and budget, each as it might be."""
    group = parser.add_argument_group("what if (nothing is recorded)")
    group.add_argument("--attack", choices=[attack.value for attack in Attack])
    for flag, example in (("tune", "6=D2"), ("gauge", "6=0.052in"), ("target", "6=0.018in")):
        group.add_argument(
            f"--{flag}", action="append", default=[], metavar=example, help="may be given again"
        )
    group.add_argument("--relief", metavar="0.3mm")
    group.add_argument("--budget", metavar="CENTS", help="how sharp fret 1 may be")


def changes_of(options: argparse.Namespace, trade: TradeTables) -> Changes:
    """The changes that were asked for; InputError names the option that cannot be used."""

    def length(quantity: LengthOf) -> Callable[[str], Length]:
        return lambda text: read_length(quantity, text, trade)

    with reading_input(options):
        return Changes(
            attack=Attack(options.attack) if options.attack else None,
            pitches=_by_string("--tune", options.tune, Pitch.written),
            gauges=_by_string("--gauge", options.gauge, length(LengthOf.GAUGE)),
            relief=_one("--relief", options.relief, length(LengthOf.RELIEF))
            if options.relief
            else None,
            targets=_by_string("--target", options.target, length(LengthOf.CLEARANCE)),
            budget_cents=_one("--budget", options.budget, _cents) if options.budget else None,
        )


def _by_string(
    flag: str, given: Iterable[str], parse: Callable[[str], _Value]
) -> dict[int, _Value]:
    """What was given for each string, as 6=D2."""
    found: dict[int, _Value] = {}
    for text in given:
        string, _, value = text.partition("=")
        number = string.strip()
        if not (number.isascii() and number.isdigit() and 1 <= int(number) <= _MOST_STRING):
            ask = say("write the string's number, =, and the value: 6=D2")
            raise InputError(flag, text, ask)
        found[int(number)] = _one(flag, value, parse)
    return found


def _one(flag: str, text: str, parse: Callable[[str], _Value]) -> _Value:
    try:
        return parse(text)
    except InputError as error:
        raise error.at(flag) from error


def _cents(text: str) -> float:
    try:
        cents = float(text)
    except ValueError:
        cents = math.nan
    if not 0.0 < cents <= _MOST_CENTS:
        raise InputError("", text, say("give cents above zero, up to {most:g}", most=_MOST_CENTS))
    return cents
