"""Another implementation of the format, made from assets/docs/history.md alone.

It shares no line with the app. Where the two disagree, the page or the app is wrong: nothing here
is to be put right by reading the app's source.
"""

from __future__ import annotations

import hashlib
import json
import re
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

Json = dict[str, Any]
LARGEST_BYTES = 262_144
LARGEST_NUMBER = 2**53 - 1
DEEPEST = 32
NO_TIME_MS = 10**14
FORMATS = ("nutwright.history", "nutwright.journal")
FIELDS = {"bench", "device", "seq", "time", "kind", "version", "prev", "body"}
_HEX = "[0-9a-f]{64}"
_SHORT = {'"': '\\"', "\\": "\\\\", "\b": "\\b", "\f": "\\f", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


# --- Canonical form ---


def spelled(value: Any) -> bytes:
    """The canonical form. ValueError where there is none."""
    return _spelled(value).encode("utf-8")


def _spelled(value: Any) -> str:
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int):
        return str(value)
    if isinstance(value, str):
        return '"' + "".join(map(_letter, value)) + '"'
    if isinstance(value, list):
        return "[" + ",".join(map(_spelled, value)) + "]"
    if isinstance(value, dict):
        pairs = (f"{_spelled(key)}:{_spelled(value[key])}" for key in sorted(value))
        return "{" + ",".join(pairs) + "}"
    raise ValueError("a fraction, or nothing that JSON knows")


def _letter(letter: str) -> str:
    if letter in _SHORT:
        return _SHORT[letter]
    return f"\\u{ord(letter):04x}" if letter < " " else letter


def digest(event: Json) -> str:
    """Of an event; that of a redacted one is the one that its body names."""
    named = event["body"].get("digest")
    if event["kind"] == "husk" and isinstance(named, str) and re.fullmatch(_HEX, named):
        return named
    return hashlib.sha256(spelled(event)).hexdigest()


# --- Event ---


def is_event(item: Any) -> bool:
    """Whether the table of fields and the bounds under it allow it."""
    if not isinstance(item, dict) or not {*FIELDS} - {"version", "prev"} <= set(item):
        return False
    kind, body = item["kind"], item["body"]
    held = (
        _matches("[0-9A-Za-z_-]{1,64}", item["bench"])
        and _matches("[0-9A-Za-z_-]{1,64}", item["device"])
        and _is_count(item["seq"])
        and _matches(r"[0-9]{1,15}\.[0-9]{1,9}", item["time"])
        and (isinstance(kind, str) and 1 <= len(kind) <= 64)
        and _is_count(item.get("version", 1))
        and _matches(f"|{_HEX}", item.get("prev", ""))
        and isinstance(body, dict)
    )
    return held and can_be_kept(item)


def can_be_kept(item: Json) -> bool:
    """Whether all of it is of whole numbers, text that UTF-8 can spell, and not too deep."""
    try:
        text = spelled(item)
    except ValueError:
        return False
    numbers = all(abs(each) <= LARGEST_NUMBER for each in _whole_numbers(item))
    return numbers and len(text) >= 0 and all(_depth(item[name]) <= DEEPEST for name in item)


def _whole_numbers(value: Any) -> Iterator[int]:
    if isinstance(value, int):
        yield value
    for each in value.values() if isinstance(value, dict) else value if _is_list(value) else ():
        yield from _whole_numbers(each)


def _depth(value: Any) -> int:
    held = value.values() if isinstance(value, dict) else value if _is_list(value) else None
    return 0 if held is None else 1 + max(map(_depth, held), default=0)


def _is_list(value: Any) -> bool:
    return isinstance(value, list)


def _matches(pattern: str, value: Any) -> bool:
    return isinstance(value, str) and re.fullmatch(pattern, value) is not None


def _is_count(value: Any) -> bool:
    return type(value) is int and 1 <= value <= LARGEST_NUMBER


# --- Frame ---


def framed(text: bytes) -> bytes:
    """The line for some JSON text."""
    return b"%08x %08x " % (len(text), zlib.crc32(text)) + text + b"\n"


def lines_of(data: bytes) -> Iterator[tuple[int, Json | None]]:
    """Where each line begins and the object that it holds; None for bytes that are no frame."""
    at = 0
    while at < len(data):
        found = _frame(data, at)
        yield at, found and found[0]
        feed = data.find(b"\n", at)
        at = found[1] if found else feed + 1 if feed >= 0 else len(data)


def _frame(data: bytes, at: int) -> tuple[Json, int] | None:
    """The object of the frame there, and where the next one begins."""
    lead = re.match(rb"([0-9a-f]{8}) ([0-9a-f]{8}) ", data[at : at + 18])
    if lead is None:
        return None
    end = at + 18 + int(lead[1], 16)
    text = data[at + 18 : end]
    ends_on_its_line = end < len(data) and b"\n" not in text
    if not ends_on_its_line or zlib.crc32(text) != int(lead[2], 16):
        return None
    try:
        value = json.loads(text.decode("utf-8"))
    except (ValueError, RecursionError):
        return None
    return (value, end + 1) if isinstance(value, dict) else None


# --- History file ---


def history_file(events: Iterable[Json], bench: str, of: str = "everything") -> bytes:
    """A header, a line for each event and the end line."""
    header = {"format": "nutwright.history", "version": 1, "bench": bench, "made": "1.0", "of": of}
    texts = [framed(spelled(header)), *(framed(spelled({"event": each})) for each in events)]
    sha256 = hashlib.sha256(b"".join(texts)).hexdigest()
    end = {"end": {"events": len(texts) - 1, "sha256": sha256}}
    return b"".join(texts) + framed(spelled(end))


@dataclass
class Found:
    """What a file holds."""

    known: bool = False
    """Whether any line of it shows that it is a history file or a journal."""
    newer: bool = False
    events: list[Json] = field(default_factory=list)
    whole: bool = False


def read(data: bytes) -> Found:
    """Every sound event of a history file, or of journal files one after the other."""
    found, lines, damaged = Found(), 0, False
    for at, line in lines_of(data):
        found.whole = False  # unless this one is the end line
        items = _items(line)
        lines += len(items)
        found.events += filter(is_event, items)
        damaged = damaged or line is None
        found.known = found.known or bool(line and _is_ours(line))
        if line and line.get("format") in FORMATS:
            found.newer = found.newer or line.get("version") != 1
        elif line and isinstance(line.get("end"), dict) and not items:
            sha256 = hashlib.sha256(data[:at]).hexdigest()
            counted = line["end"] == {"events": lines, "sha256": sha256}
            found.whole = not damaged and counted and data.endswith(b"\n")
        elif line and not _is_ours(line):
            lines += 1  # something newer
    return found


def _is_ours(line: Json) -> bool:
    """Whether a line shows that this is a history file or a journal."""
    named = line.get("format") in FORMATS or "event" in line or _is_list(line.get("events"))
    return named or any(isinstance(line.get(name), dict) for name in ("end", "closed"))


def _items(line: Json | None) -> list[Any]:
    """What stands in a line in the place of events."""
    if line is None or line.get("format") in FORMATS:
        return []
    several = line.get("events")
    if isinstance(several, list):
        return several
    return [line["event"]] if "event" in line else []


# --- What a history takes in ---


def taken_in(events: Iterable[Json]) -> dict[str, Json]:
    """By id: what an empty history holds after it was given these, each device by number."""
    held: dict[tuple[str, int], Json] = {}
    for event in sorted(events, key=lambda each: (each["device"], each["seq"])):
        place = (event["device"], event["seq"])
        wall_ms = int(event["time"].partition(".")[0])
        fits = len(spelled(event)) <= LARGEST_BYTES and wall_ms < NO_TIME_MS
        if place not in held and fits and _links(event, held):
            held[place] = event
    return {f"{device}:{seq}": event for (device, seq), event in held.items()}


def _links(event: Json, held: dict[tuple[str, int], Json]) -> bool:
    device, seq = event["device"], event["seq"]
    before, after = held.get((device, seq - 1)), held.get((device, seq + 1))
    follows = before is None or event.get("prev", "") == digest(before)
    return follows and (after is None or after.get("prev", "") == digest(event))
