"""The way to a hub over HTTP from a desktop, with the standard library only."""

from __future__ import annotations

import asyncio
import gzip
import http.client
import ssl
import zlib
from collections.abc import Mapping
from urllib.error import HTTPError, URLError
from urllib.parse import urlsplit
from urllib.request import HTTPRedirectHandler, HTTPSHandler, OpenerDirector, Request, build_opener

from logic.sync.transport import HubAnswer, away
from shared.errors import InputError

TIMEOUT_S = 30


class _NoRedirect(HTTPRedirectHandler):
    """A key is shown to the hub it belongs to and to nobody that it might point at."""

    def redirect_request(self, *_: object) -> None:
        return None


def hub_address(text: str) -> str:
    """The address of a hub as it is kept: scheme, host and port. InputError when it is none.

    Plain http is taken for this very machine only: anywhere else it would show the key to all.
    """
    parts = urlsplit(text.strip() if "://" in text else f"https://{text.strip()}")
    local = parts.hostname in ("localhost", "127.0.0.1", "::1")
    if not parts.hostname or parts.scheme not in ("http", "https") or parts.username:
        raise InputError("hub", text, "give the hub's address, such as https://hub.example:8443")
    if parts.scheme == "http" and not local:
        raise InputError("hub", text, "a hub on another machine needs https")
    return f"{parts.scheme}://{parts.netloc}"


class HttpTransport:
    """Sends requests to the hub at `address`; `authority` is a file of certificates to trust."""

    def __init__(self, address: str, authority: str | None = None) -> None:
        self._address = hub_address(address)
        context = ssl.create_default_context(cafile=authority)
        self._opener: OpenerDirector = build_opener(HTTPSHandler(context=context), _NoRedirect)

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> HubAnswer:
        """The answer. HubAway when there is none."""
        request = Request(
            self._address + path,
            data=body or (b"" if method == "POST" else None),
            headers={**headers, "Accept-Encoding": "gzip"},
            method=method,
        )
        try:
            return await asyncio.to_thread(self._send, request)
        except (URLError, OSError, http.client.HTTPException, EOFError, zlib.error) as error:
            raise away(
                str(getattr(error, "reason", "") or error or type(error).__name__)
            ) from error

    def _send(self, request: Request) -> HubAnswer:
        try:
            with self._opener.open(request, timeout=TIMEOUT_S) as response:
                return _answer(response.status, response.read(), dict(response.headers))
        except HTTPError as error:
            with error:
                return _answer(error.code, error.read(), dict(error.headers))


def _answer(status: int, body: bytes, headers: dict[str, str]) -> HubAnswer:
    small = {name.lower(): value for name, value in headers.items()}
    if small.get("content-encoding") == "gzip":
        body = gzip.decompress(body)
    return HubAnswer(status, body, small)
