"""What is no entry that can be kept, as JSON text: one table for every door."""

from __future__ import annotations

import json
from dataclasses import dataclass

from shared.plain_json import Unfit

NAME = "z1"
"""The device under which every odd line stands."""
SOUND = {
    "bench": "alder-row",
    "device": NAME,
    "seq": 1,
    "time": "1700000001000.0",
    "kind": "setting.changed",
    "version": 1,
    "prev": "",
    "body": {"name": "unit", "value": "mm"},
}


@dataclass(frozen=True)
class Odd:
    """One odd entry: what it is, its JSON, and why it is refused."""

    name: str
    text: str
    unfit: Unfit


def spelled(field: str, value: str) -> str:
    """A sound entry with one field in another spelling."""
    marked = json.dumps(SOUND | {field: "\x00here"})
    return marked.replace(json.dumps("\x00here"), value)


def valued(value: str) -> str:
    """A sound entry with another value in its body."""
    return spelled("body", f'{{"name":"unit","value":{value}}}')


VALUES = {
    "NaN": Unfit.NUMBER,
    "Infinity": Unfit.NUMBER,
    "-Infinity": Unfit.NUMBER,
    "1e400": Unfit.NUMBER,
    "-1e400": Unfit.NUMBER,
    "0.5": Unfit.NUMBER,
    "1.0": Unfit.NUMBER,
    "1e3": Unfit.NUMBER,
    "9007199254740992": Unfit.NUMBER,
    "-9007199254740992": Unfit.NUMBER,
    "1" + "0" * 100: Unfit.NUMBER,
    "1" + "0" * 5000: Unfit.NUMBER,
    "[[1" + "0" * 5000 + "]]": Unfit.NUMBER,
    "[1" + "0" * 5000 + "," + "[" * 5000 + "]" * 5001: Unfit.NUMBER,
    "[" + "[" * 5000 + "]" * 5000 + ",1" + "0" * 5000 + "]": Unfit.DEEP,
    '"\\ud800"': Unfit.TEXT,
    '"a\\udfffb"': Unfit.TEXT,
    '{"\\ud800": 1}': Unfit.TEXT,
    '{"a": 1, "a": 1}': Unfit.TWICE,
    '[{"a": {"b": 1, "b": 2}}]': Unfit.TWICE,
    '{"a": 1, "\\u0061": 2}': Unfit.TWICE,
    "[" * 32 + "]" * 32: Unfit.DEEP,
    '{"a":' * 32 + "1" + "}" * 32: Unfit.DEEP,
    "[" * 5000 + "]" * 5000: Unfit.DEEP,
    '{"a":[' * 3000 + '"]}"' + "]}" * 3000: Unfit.DEEP,
    json.dumps("x" * 262_144): Unfit.SIZE,
    json.dumps("é" * 132_000, ensure_ascii=False): Unfit.SIZE,
}
WRONG = ("null", "true", "7", "-1", "0.5", "NaN", '""', '"\\ud800"', "[]", "{}", "1e400", "[[[]]]")
FIELDS = {
    "bench": (*WRONG, '"../x"', json.dumps("b" * 65), json.dumps("b\n")),
    "device": (*WRONG, '"é"', json.dumps("d" * 65), '"d 1"'),
    "seq": (*(each for each in WRONG if each != "7"), "0", '"1"', "1.0", "9007199254740992"),
    "time": (*WRONG, '"now"', '"1.0\\n"', '"1e3.0"', '"-1.0"', '"1700000001000"', '"1.0000000000"'),
    "kind": (*WRONG, json.dumps("k" * 65)),
    "version": (*(each for each in WRONG if each != "7"), "0", '"1"', "1.5", "10" * 20),
    "prev": (
        *(each for each in WRONG if each != '""'),
        json.dumps("0" * 63),
        json.dumps("A" * 64),
        json.dumps("g" * 64),
    ),
    "body": tuple(each for each in WRONG if each != "{}"),
}


def odd_lines() -> list[Odd]:
    """The whole table."""
    found = [
        Odd(f"value {value[:20]} {len(value)}", valued(value), unfit)
        for value, unfit in VALUES.items()
    ]
    found += [
        Odd(f"{field} {value[:20]} {len(value)}", spelled(field, value), Unfit.FIELDS)
        for field, values in FIELDS.items()
        for value in values
        if not (field == "body" and value == "NaN")
    ]
    found += [
        Odd(
            f"without {field}",
            json.dumps({k: v for k, v in SOUND.items() if k != field}),
            Unfit.FIELDS,
        )
        for field in SOUND
        if field not in ("version", "prev")
    ]
    found += [
        Odd("field twice", json.dumps(SOUND)[:-1] + ',"seq":1}', Unfit.TWICE),
        Odd("unknown field", json.dumps(SOUND)[:-1] + ',"mood":NaN}', Unfit.NUMBER),
        Odd("unknown half", json.dumps(SOUND)[:-1] + ',"mood":"\\ud800"}', Unfit.TEXT),
        Odd("unknown name", json.dumps(SOUND)[:-1] + ',"\\udfff":1}', Unfit.TEXT),
        Odd("a time past all", spelled("time", '"100000000000000.0"'), Unfit.TIME),
        Odd("the last time", spelled("time", '"999999999999999.999999999"'), Unfit.TIME),
        Odd("body NaN", spelled("body", "NaN"), Unfit.NUMBER),
    ]
    found += [
        Odd(f"no object {text}", text, unfit)
        for text, unfit in {
            "null": Unfit.FIELDS,
            "7": Unfit.FIELDS,
            '"x"': Unfit.FIELDS,
            "[]": Unfit.FIELDS,
            "true": Unfit.FIELDS,
            "NaN": Unfit.NUMBER,
            "{}": Unfit.FIELDS,
        }.items()
    ]
    return found
