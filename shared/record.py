"""The base of every model: frozen, and it keeps fields that it does not know."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Record(BaseModel):
    """A value. Unknown fields survive a round trip, so an older app never strips a newer file."""

    model_config = ConfigDict(extra="allow", frozen=True, allow_inf_nan=False)
