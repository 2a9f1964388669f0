"""Answers of the hub that are not a success, all of one shape."""

from __future__ import annotations

import math

from starlette.responses import JSONResponse

from logic.sync.wire import Code, ErrorBody, ErrorReply
from shared.errors import HubStoreError


def error_reply(
    status: int, code: Code, what: str, next: str = "", headers: dict[str, str] | None = None
) -> JSONResponse:
    """An error reply. It tells what to do and nothing about the inside of the hub."""
    body = ErrorReply(error=ErrorBody(code=code, what=what, next=next))
    return JSONResponse(body.model_dump(), status, headers)


class Refusal(Exception):
    """Raised by an endpoint to answer with a complaint."""

    def __init__(
        self, status: int, code: Code, what: str, next: str = "", wait_s: float = 0
    ) -> None:
        super().__init__(what)
        headers = {"Retry-After": str(math.ceil(wait_s))} if wait_s else {}
        if status == 401:
            headers["WWW-Authenticate"] = "Bearer"
        self.response = error_reply(status, code, what, next, headers)


def unavailable_reply(_error: HubStoreError) -> JSONResponse:
    """The reply while the store does not answer. Its own words stay here: they may quote a row."""
    what, next = "The hub's store does not answer", "Try again in a moment."
    return error_reply(503, Code.UNAVAILABLE, what, next, {"Retry-After": "5"})
