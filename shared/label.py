"""The link of an instrument's label: the app's own address and, behind its #, an opaque code.

What is printed can be read by anybody who holds the instrument: the code says nothing of it, its
owner or its bench. What stands behind a # is sent to no server.
"""

from __future__ import annotations

import re
from hashlib import sha256

_DRAWN_BY_LOT = re.compile("[0-9a-f]{16}")
_IN_LINK = re.compile(r"#i=([0-9A-Za-z_-]{1,64})$")


def label_code(instrument: str) -> str:
    """The code of the instrument that is on record under this id: the id itself where it was drawn
    by lot, as the app's are. Any other, which somebody may have chosen, is not shown."""
    if _DRAWN_BY_LOT.fullmatch(instrument):
        return instrument
    return sha256(f"label of {instrument}".encode()).hexdigest()[:16]


def label_link(address: str, instrument: str) -> str:
    """What the label of this instrument says, for the app at `address`."""
    return f"{address}#i={label_code(instrument)}"


def code_in_link(text: str) -> str:
    """The code of the label that says `text`, at whatever address; empty where it is no label's."""
    found = _IN_LINK.search(text.strip())
    return found[1] if found else ""
