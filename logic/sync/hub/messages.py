"""Messages as they come and go: JSON that is cheap to refuse, models, and replies worth packing."""

from __future__ import annotations

import gzip
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from starlette.requests import Request
from starlette.responses import Response

from logic.sync.hub.bodies import too_large
from logic.sync.hub.replies import Refusal
from logic.sync.wire import Code
from shared.plain_json import read_json

Message = TypeVar("Message", bound=BaseModel)
LARGE_BYTES = 2_000_000
"""A message that devices send is well below this: its events end at a million bytes."""
MOST_LISTS = 150_000
MOST_VALUES = 1_000_000
"""Brackets and commas of a message. A thousand events and every run that a device may name have
under a third of this; each costs up to a hundred times its own length in memory."""
WORTH_PACKING_BYTES = 1000
PACKING_LEVEL = 2
_SEE = "See the description of the protocol."


def read_message(model: type[Message], body: bytes) -> Message:
    """The message that `body` holds. Refusal when it holds none."""
    if body.count(b"[") + body.count(b"{") > MOST_LISTS or body.count(b",") > MOST_VALUES:
        raise too_large()
    try:
        return model.model_validate(read_json(body))
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        where = ".".join(map(str, ("body", *first["loc"])))[:100]
        what = f"The message cannot be used: {where}: {first['msg'][:200]}"
        raise Refusal(400, Code.MALFORMED, what, _SEE) from error
    except (ValueError, RecursionError) as error:
        what = "The message cannot be used: it is not JSON"
        raise Refusal(400, Code.MALFORMED, what, _SEE) from error


async def json_body(request: Request) -> bytes:
    """The body of a request that says that it is JSON. Refusal when it says another thing."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        raise Refusal(400, Code.MALFORMED, "The message cannot be used: send JSON", _SEE)
    return await request.body()


def body_of(model: type[BaseModel]) -> dict[str, Any]:
    """How a request's body is described for programs; it is read without the framework, which
    would do so on the event loop."""
    schema = model.model_json_schema(mode="validation")
    return {"requestBody": {"required": True, "content": {"application/json": {"schema": schema}}}}


def takes_packed(request: Request) -> bool:
    """Whether the answer may come packed."""
    return "gzip" in request.headers.get("accept-encoding", "").lower()


def packed(reply: Response) -> Response:
    """The same reply, packed where that is worth it."""
    body = bytes(reply.body)
    if len(body) < WORTH_PACKING_BYTES:
        return reply
    reply.body = gzip.compress(body, PACKING_LEVEL, mtime=0)
    reply.headers["Content-Length"] = str(len(reply.body))
    reply.headers["Content-Encoding"] = "gzip"
    reply.headers.add_vary_header("Accept-Encoding")
    return reply
