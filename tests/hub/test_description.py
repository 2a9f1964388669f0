"""The hub does what its own description for programs says."""

from __future__ import annotations

from typing import Any

import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from logic.sync.hub.app import make_app
from tests.conftest import SOAK
from tests.hub.hubs import InProcess, make_hub, new_key
from tests.hub.test_app import exchange

_hub = make_hub()
_key = new_key(_hub)
_app = make_app(_hub)
schema = schemathesis.openapi.from_asgi("/v1/openapi.json", _app)
past_coverage = schemathesis.openapi.from_asgi("/v1/openapi.json", _app)
past_coverage.config.phases.coverage.enabled = False
past_coverage.config.phases.examples.enabled = False


@schema.parametrize()
@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
def test_the_hub_does_what_its_description_says(case: Any) -> None:
    """Generated messages, fit and unfit, get the statuses and shapes that are described."""
    key = new_key(_hub) if case.path == "/v1/leave" else _key
    case.call_and_validate(headers={"Authorization": f"Bearer {key}"})


@past_coverage.parametrize()
@settings(max_examples=40 * SOAK, deadline=None, suppress_health_check=list(HealthCheck))
def test_the_hub_does_what_its_description_says_by_chance_too(case: Any) -> None:
    """So do messages made up freely, once the description's own edges are through."""
    key = new_key(_hub) if case.path == "/v1/leave" else _key
    case.call_and_validate(headers={"Authorization": f"Bearer {key}"})


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=400), st.sampled_from(["", "gzip", "identity"]))
async def test_any_bytes_at_all_are_answered(body: bytes, encoding: str) -> None:
    """No body makes the hub fail."""
    packing = {"Content-Encoding": encoding} if encoding else {}
    answer = await exchange(InProcess(_app), _key, body, **packing)
    assert answer.status in (200, 400)
