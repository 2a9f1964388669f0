"""Every error a person can meet, as one tree.

    NutwrightError
    ├── InputError                what somebody typed or handed in cannot be used
    │   ├── LengthError           a length, gauge or thickness
    │   ├── PitchError            a pitch or reference frequency
    │   └── JobFileError          a job file or one of its fields
    ├── HistoryError              the record on this device
    │   ├── StorageUnavailable    nowhere to keep a record (plain http, private window, …)
    │   ├── StorageFull           the device has no room for the next record
    │   ├── PenElsewhere          another tab or process writes this history
    │   ├── JournalPoisoned       a write failed, so nothing more is accepted
    │   └── NewerFormat           written by a newer Nutwright
    ├── HubError                  the hub and the way to it
    │   ├── HubAway               the hub cannot be reached now
    │   ├── HubRefused            the hub does not let this device in, or not to do this
    │   └── HubStoreError         the hub's own database failed
    ├── OutputError               what a command was to write found no room
    └── BuildError                the publisher cannot make the site
        └── TableError            a trade table of assets/ is not as it must be

Each error says what happened, what is safe, and what to do next, in plain words.
"""

from __future__ import annotations

from shared.words import say


class NutwrightError(Exception):
    """Root of the tree: `what` happened, what is `safe`, and what to do `next`."""

    def __init__(self, what: str, *, safe: str = "", next: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.safe = safe
        self.next = next

    def __str__(self) -> str:
        return " ".join(self._parts())

    def in_sentences(self) -> str:
        """The same as a screen says it: what follows the first sentence begins with a capital."""
        first, *more = self._parts()
        return " ".join((first, *(f"{part[:1].upper()}{part[1:]}" for part in more)))

    def _parts(self) -> list[str]:
        return [_sentence(part) for part in (self.what, self.safe, self.next) if part]


class InputError(NutwrightError):
    """Something handed in cannot be used: which `field`, what was `found`, what to `ask` for."""

    def __init__(self, field: str, found: object, ask: str, *, what: str = "") -> None:
        self.field = field
        self.found = shorten(found)
        self.ask = ask
        self.problem = what or say("cannot use {found}", found=self.found)
        """What is wrong, without the field."""
        super().__init__(f"{field}: {self.problem}" if field else self.problem, next=ask)

    def at(self, field: str) -> InputError:
        """The same error, told of the field it was met in."""
        inner = f"{field}.{self.field}" if self.field else field
        return type(self)(inner, self.found, self.ask, what=self.problem)


class LengthError(InputError):
    """A length, gauge or thickness that is not one, or could mean two things."""


class PitchError(InputError):
    """A pitch name or reference frequency that is not one."""


class JobFileError(InputError):
    """A job file, or a field of one, that cannot be used."""


class HistoryError(NutwrightError):
    """The record on this device cannot be read or written."""


class StorageUnavailable(HistoryError):
    """There is nowhere on this device to keep a record."""


class StorageFull(HistoryError):
    """The device has no room for the next record."""


class WrittenElsewhere(HistoryError):
    """Another tab or process is writing this history."""


class JournalPoisoned(HistoryError):
    """A write failed, so this journal accepts nothing more."""


class NewerFormat(HistoryError):
    """The record was written by a newer Nutwright than this one."""


class HubError(NutwrightError):
    """The exchange with a hub, or the hub itself, failed."""


class HubAway(HubError):
    """The hub cannot be reached now; `wait_s` is how long it asked to be left alone."""

    def __init__(self, what: str, *, safe: str = "", next: str = "", wait_s: float = 0) -> None:
        super().__init__(what, safe=safe, next=next)
        self.wait_s = wait_s


class HubRefused(HubError):
    """The hub refused, and asking again will not help; `code` says why, for programs."""

    def __init__(self, what: str, *, safe: str = "", next: str = "", code: str = "") -> None:
        super().__init__(what, safe=safe, next=next)
        self.code = code


class HubStoreError(HubError):
    """The database of a hub failed."""


class OutputError(NutwrightError):
    """What a command was to write found no room, or the device refused it."""


class BuildError(NutwrightError):
    """The publisher cannot make the site."""


class TableError(BuildError):
    """A trade table is not as it must be: in which `file` of assets/, at which `line`."""

    def __init__(self, name: str, line: int, problem: str) -> None:
        self.file, self.line = f"assets/{name}.json", line
        super().__init__(
            f"{self.file}, line {line}: {problem}",
            safe="No site was written.",
            next="Correct that line; the models of the tables are in logic/bench/tables",
        )


def shorten(found: object, limit: int = 60) -> str:
    """What was found, quoted and cut so that one line can hold it."""
    text = found if isinstance(found, str) else repr(found)
    text = " ".join(text[: limit * 4].split())
    return repr(text if len(text) <= limit else text[: limit - 1] + "…").replace("\\\\", "\\")


def _sentence(text: str) -> str:
    text = text.strip()
    return text if text[-1:] in ".?!:" else text + "."
