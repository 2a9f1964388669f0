"""What the page's own files say: found in them, and put into them in every language that ships.

A script says a sentence as `say("…", {facts})`, and a word by its meaning as
`sayAs("meaning", "…")`, both as literals. An element of a page whose text is said carries
`data-say`. The catalogues in assets/languages hold the translations, as they do for the rest of the
app; a script that speaks begins with `mobile/web/words.js`, where they are put in.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from html.parser import HTMLParser
from pathlib import Path

from logic.languages import WRITTEN_IN, languages, load_language
from shared.bootstrap import ROOT

WEB = ROOT / "mobile" / "web"
PRELUDE = WEB / "words.js"
"""Stands at the head of every script that speaks."""
SHORTCUT = ("name", "description")
"""What of a shortcut in the manifest is read."""
_LITERAL = r'"(?:[^"\\\n]|\\.)*"'
_TEXT = rf"{_LITERAL}(?:\s*\+\s*{_LITERAL})*"
_SAID = re.compile(rf"\bsay\(\s*({_TEXT})")
_SAID_AS = re.compile(rf"\bsayAs\(\s*({_LITERAL}),\s*({_TEXT})")
_COMMENT = re.compile(r"^ *//.*\n", re.MULTILINE)
"""A line that only developers read: it does not travel."""
_MEANING_ENDS = "\x04"
"""What stands between a meaning and its word in a catalogue of gettext's, and in words.js."""
Sentence = tuple[str, str]
"""What a sentence means where that has to be said (else nothing), and the sentence in English."""


def sentences(path: Path) -> tuple[Sentence, ...]:
    """Everything that a script, a page or the manifest says, each once, in its order."""
    text = path.read_text(encoding="utf-8")
    return tuple(dict.fromkeys(_FINDERS[path.suffix](text)))


def _in_script(text: str) -> Iterator[Sentence]:
    for found in _SAID.finditer(text):
        yield "", _joined(found[1])
    for found in _SAID_AS.finditer(text):
        yield _joined(found[1]), _joined(found[2])


def _joined(literals: str) -> str:
    return "".join(json.loads(literal) for literal in re.findall(_LITERAL, literals))


def _in_page(text: str) -> Iterator[Sentence]:
    reader = _Page()
    reader.feed(text)
    return (("", " ".join(said.split())) for said in reader.said)


class _Page(HTMLParser):
    """Keeps the text of each element that is said; none of them holds another element."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside = "data-say" in dict(attrs)

    def handle_endtag(self, tag: str) -> None:
        self._inside = False

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.said.append(data)


def _in_manifest(text: str) -> Iterator[Sentence]:
    return (("", shortcut[name]) for shortcut in json.loads(text)["shortcuts"] for name in SHORTCUT)


_FINDERS = {".js": _in_script, ".html": _in_page, ".json": _in_manifest}


def script(*parts: Path, also: Iterable[Path] = ()) -> bytes:
    """One script that speaks, made of `parts` in their order.

    It brings the words that they say, and what the files in `also` say through it.
    """
    said = dict.fromkeys(one for path in (*parts, *also) for one in sentences(path))
    whole = "\n".join(path.read_text(encoding="utf-8") for path in (PRELUDE, *parts))
    whole = _COMMENT.sub("", whole)
    return whole.replace("{{words}}", _filling(catalogues(said))).encode()


def catalogues(said: Iterable[Sentence]) -> dict[str, dict[str, str]]:
    """The sentences in every language but English, by its code; without those it does not have."""
    said = tuple(said)
    return {code: dict(_listed(code, said)) for code in languages() if code != WRITTEN_IN}


def _listed(code: str, said: Iterable[Sentence]) -> Iterator[tuple[str, str]]:
    catalogue = load_language(code)
    for meaning, text in said:
        translated = catalogue.pgettext(meaning, text) if meaning else catalogue.gettext(text)
        if translated != text:
            yield f"{meaning}{_MEANING_ENDS}{text}" if meaning else text, translated


def localised(members: Mapping[str, str]) -> dict[str, object]:
    """Members of a web app manifest, each with its `…_localized` beside it where it is translated.

    So the W3C's Web Application Manifest has them (working draft of May 2026, "*_localized
    members"); browsers that do not know them show the English.
    """
    made: dict[str, object] = {}
    for name, text in members.items():
        made[name] = text
        found = catalogues([("", text)])
        translated = {code: words[text] for code, words in found.items() if words}
        if translated:
            made[f"{name}_localized"] = translated
    return made


def _filling(words: object) -> str:
    return json.dumps(words, ensure_ascii=False, separators=(",", ":"))
