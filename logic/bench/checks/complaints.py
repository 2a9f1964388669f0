"""From what was said or noticed, in people's own words, to the complaints it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from logic.bench.tables.trade_tables import TradeTables
from logic.bench.telling.statements import Sentence, Statement, sentences_of
from logic.bench.telling.unheard import SMALL_TALK
from logic.bench.telling.vocabulary import Vocabulary, vocabulary_of
from logic.bench.telling.words import prepared
from shared.instrument import Instrument
from shared.job import Complaint, Job

if TYPE_CHECKING:
    from logic.bench.tables.complaints import ComplaintRow

LONGEST_TELLING = 4000
"""Characters. Nobody tells more of one fault; what is longer is not read at all."""


@dataclass(frozen=True)
class Heard:
    """One complaint that was understood, and the strings it was said of (none: all of them)."""

    row: ComplaintRow
    strings: tuple[int, ...] = ()

    def speaks_of(self, string: int) -> bool:
        """Whether it was said of this string."""
        return not self.strings or string in self.strings


@dataclass(frozen=True)
class Understood:
    """What the words of a job mean, and those that mean nothing here."""

    heard: tuple[Heard, ...] = ()
    """In the order of the table, each complaint once."""
    not_understood: tuple[str, ...] = ()
    """Whole sentences, and longer rows of words in sentences that were understood otherwise."""


def complaints(trade: TradeTables) -> tuple[ComplaintRow, ...]:
    """Every complaint that opens questions, in the order it is offered."""
    return trade.complaints.complaints


def complaint_of(text: str, trade: TradeTables) -> ComplaintRow | None:
    """The complaint that `text` is by its id or title; None for anything else."""
    tidy = " ".join(text[:LONGEST_TELLING].casefold().split())
    rows = complaints(trade)
    return next((row for row in rows if tidy in (row.id, row.title.casefold())), None)


JOIN = "; "
"""Between the complaints that were picked, in what earlier versions read."""


def own_words(job: Job, trade: TradeTables) -> str:
    """What was said of a job; empty where complaints were only picked."""
    picked = all(complaint_of(each, trade) for each in job.complaint.split(JOIN))
    return "" if picked else job.complaint


def understood(job: Job, trade: TradeTables) -> Understood:
    """Everything that was said of this job: `complaint` and `complaints`, in any order."""
    said = [each for each in job.complaints if each.what.strip() or each.since.strip()]
    read_before = {each.said for each in said if each.said}
    if job.complaint.strip() and job.complaint not in read_before:
        said = [Complaint.model_construct(what=job.complaint), *said]
    each_understood = [_one_understood(one, job.instrument, trade) for one in said]
    return Understood(
        heard=merged((heard for each in each_understood for heard in each.heard), trade),
        not_understood=tuple(lost for each in each_understood for lost in each.not_understood),
    )


def shortened(words: str, longest: int = 80) -> str:
    """The words on one line, cut so that a screen can hold it."""
    line = " ".join(words[: longest * 4].split())
    return line if len(line) <= longest else f"{line[: longest - 1]}…"


def merged(heard: Iterable[Heard], trade: TradeTables) -> tuple[Heard, ...]:
    """Each complaint once, of all the strings it was said of; what says more takes the place of
    what says less."""
    by_row: dict[str, list[Heard]] = {}
    for one in heard:
        by_row.setdefault(one.row.id, []).append(one)
    each = [
        Heard(row, _all_strings(by_row[row.id])) for row in complaints(trade) if row.id in by_row
    ]
    return tuple(one for one in each if not any(_says_more(other, one) for other in each))


def _says_more(other: Heard, than: Heard) -> bool:
    """Whether `other` is a closer account of the same strings."""
    if other.row.id not in than.row.gives_way_to:
        return False
    return not other.strings or not than.strings or set(than.strings) <= set(other.strings)


def _all_strings(heard: Iterable[Heard]) -> tuple[int, ...]:
    strings = [one.strings for one in heard]
    return tuple(sorted({each for some in strings for each in some})) if all(strings) else ()


def _one_understood(one: Complaint, instrument: Instrument, trade: TradeTables) -> Understood:
    said = understood_words(one.what, instrument, trade)
    before = understood_words(one.since, instrument, trade, happened=True)
    heard = (
        Heard(each.row, () if each.row.whole else one.strings or each.strings)
        for each in (*said.heard, *before.heard)
    )
    return Understood(tuple(heard), (*said.not_understood, *before.not_understood))


def understood_words(
    text: str, instrument: Instrument, trade: TradeTables, happened: bool = False
) -> Understood:
    """What one telling means. `happened`: it tells what happened just before."""
    named = complaint_of(text, trade)
    if named is not None:
        return Understood((Heard(named),))
    if len(text) > LONGEST_TELLING:
        return Understood((), (text[:LONGEST_TELLING],))
    return _read(f"since {text}" if happened and text.strip() else text, instrument, trade)


@lru_cache(maxsize=64)
def _remembered(text: str, names: str, trade: TradeTables) -> Understood:
    """`names` is the instrument as JSON: one telling is read once for each set of strings."""
    instrument = Instrument.model_validate_json(names)
    vocabulary = vocabulary_of(trade.tellings)
    sentences = sentences_of(text, instrument, vocabulary)
    fine = frozenset(
        meaning for one in sentences for each in one.statements if each.fine
        for meaning in (*each.holds, *each.denied)
    )  # fmt: skip
    facts = _words_of_facts(trade)
    heard: list[Heard] = []
    lost: list[str] = []
    for sentence in sentences:
        found = [one for each in sentence.statements for one in _heard_in(each, fine, trade)]
        heard += found
        if not found and not _says_nothing(sentence, vocabulary, facts):
            lost.append(sentence.text)
        elif found and sentence.unheard:
            lost.append(sentence.unheard)
    return Understood(tuple(heard), tuple(lost))


def _read(text: str, instrument: Instrument, trade: TradeTables) -> Understood:
    return _remembered(text, instrument.model_dump_json(), trade) if text.strip() else Understood()


def _heard_in(said: Statement, fine: frozenset[str], trade: TradeTables) -> list[Heard]:
    strings = () if said.of_all and not said.strings else tuple(sorted(said.strings))
    rows = (row for row in complaints(trade) if any(_fits(p, said, fine) for p in row.words))
    return [Heard(row, () if row.whole else strings) for row in rows]


def _fits(phrase: str, said: Statement, fine: frozenset[str]) -> bool:
    """Whether a statement is what the phrase describes: each meaning holds; one behind - does not;
    one behind ! was denied; one behind ~ was said to be fine; `not` is any denial."""
    words = phrase.split()
    holds = said.holds | said.denied if "not" in words else said.holds
    return all(_word_fits(word, said, holds, fine) for word in words)


def _word_fits(word: str, said: Statement, holds: frozenset[str], fine: frozenset[str]) -> bool:
    if word == "not":
        return said.negated
    kind, meaning = word[0], word.lstrip("-!~")
    if kind == "-":
        return meaning not in holds
    if kind == "!":
        return meaning in said.denied
    return meaning in (fine if kind == "~" else holds)


def _words_of_facts(trade: TradeTables) -> frozenset[str]:
    """Meanings that facts are put together from."""
    phrases = (phrase for row in complaints(trade) if row.fact for phrase in row.words)
    return frozenset(word for phrase in phrases for word in phrase.split() if word[0] not in "-!~")


def _says_nothing(sentence: Sentence, vocabulary: Vocabulary, facts: frozenset[str]) -> bool:
    """Whether there is nothing to understand in it: all is well, a fact is denied (*no capo*), a
    detail of what was told before, a greeting, a date."""
    if any(each.fine or _denies_a_fact(each, facts) for each in sentence.statements):
        return True
    words = vocabulary.words(prepared(sentence.text))
    talk = [one for one in vocabulary.find(words) if one.meaning in SMALL_TALK]
    covered = {place for one in talk for place in range(one.start, one.end)}
    return all(n in covered or word.folded.isdecimal() for n, word in enumerate(words))


def _denies_a_fact(said: Statement, facts: frozenset[str]) -> bool:
    return bool(said.denied & facts) and said.holds | said.denied <= facts | SMALL_TALK
