"""Names of benches and devices, random so that none is given twice."""

from __future__ import annotations

import secrets
from typing import Protocol


class Identity(Protocol):
    """Names for a bench and for its devices.

    A device keeps its name in its journal. It takes a new one whenever it cannot be sure which
    numbers of its sequence it has already given out: after a restore or after damage.
    """

    def new_bench(self) -> str:
        """A name for a bench that nobody has joined yet."""
        ...

    def new_device(self) -> str:
        """A name that no device had before."""
        ...


class RandomIdentity:
    """Names of 80 random bits, in letters and digits that survive being read aloud."""

    def new_bench(self) -> str:
        """A name for a bench that nobody has joined yet."""
        return "b" + _random_letters()

    def new_device(self) -> str:
        """A name that no device had before."""
        return "d" + _random_letters()


_ALPHABET = "23456789abcdefghjkmnpqrstuvwxyz"
_LENGTH = 17


def _random_letters() -> str:
    return "".join(secrets.choice(_ALPHABET) for _ in range(_LENGTH))
