"""Stores for the tests of the hub."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from logic.sync.hub.database import Database
from tests.hub.stores import KINDS, fresh_store, fresh_url


@pytest.fixture(params=KINDS)
def database(request: pytest.FixtureRequest) -> Iterator[Database]:
    """An empty store, of each kind in turn."""
    with fresh_store(request.param) as store:
        yield store


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest) -> Iterator[str]:
    """Where several processes can open one store."""
    with fresh_url(request.param) as where:
        yield where
