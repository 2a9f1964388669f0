"""Requests to a hub over HTTP from a desktop, with the standard library only."""

from __future__ import annotations

import asyncio
import gzip
import ssl
import zlib
from collections.abc import Mapping
from http.client import HTTPConnection, HTTPException, HTTPSConnection
from urllib.parse import urlsplit

from logic.sync.transport import HubAnswer, away, not_trusted
from shared.errors import InputError
from shared.words import say

TIMEOUT_S = 30


def hub_address(text: str) -> str:
    """The address of a hub as it is kept: scheme, host and port. InputError when it is none.

    Plain http is taken for this very machine only: anywhere else it would show the key to all.
    """
    parts = urlsplit(text.strip() if "://" in text else f"https://{text.strip()}")
    local = parts.hostname in ("localhost", "127.0.0.1", "::1")
    if not parts.hostname or parts.scheme not in ("http", "https") or parts.username:
        ask = say("give the hub's address, such as https://hub.example:8443")
        raise InputError("hub", text, ask)
    if parts.scheme == "http" and not local:
        raise InputError("hub", text, say("a hub on another machine needs https"))
    return f"{parts.scheme}://{parts.netloc}"


class HttpTransport:
    """Sends requests to the hub at `address`; `authority` is a file of certificates to trust.

    The connection is kept from one message to the next. Redirections are not followed: a key is
    shown to the hub it belongs to and to nobody that it might point at.
    """

    def __init__(self, address: str, authority: str | None = None) -> None:
        self._connection: HTTPConnection | None = None
        self._parts = urlsplit(hub_address(address))
        try:
            self._context = ssl.create_default_context(cafile=authority)
        except OSError as error:
            raise InputError("trust", authority, say("name a file of certificates")) from error

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> HubAnswer:
        """The answer. HubAway when there is none."""
        given = {**headers, "Accept-Encoding": "gzip"}
        try:
            return await asyncio.to_thread(self._send, method, path, given, body)
        except ssl.SSLCertVerificationError as error:
            raise not_trusted(error.verify_message) from error
        except (OSError, HTTPException, EOFError, zlib.error) as error:
            raise away(str(error) or type(error).__name__) from error

    def close(self) -> None:
        """Let go of the connection."""
        if self._connection:
            self._connection.close()
        self._connection = None

    def __del__(self) -> None:
        self.close()

    def _send(self, method: str, path: str, headers: dict[str, str], body: bytes) -> HubAnswer:
        kept = self._connection is not None
        try:
            return self._ask(method, path, headers, body)
        except (OSError, HTTPException):
            self.close()
            if not kept:
                raise
        # the hub had closed a connection that was idle; every message may be sent again
        return self._ask(method, path, headers, body)

    def _ask(self, method: str, path: str, headers: dict[str, str], body: bytes) -> HubAnswer:
        connection = self._connection = self._connection or self._connect()
        try:
            connection.request(method, path, body or None, headers)
            response = connection.getresponse()
            data = response.read()
        except BaseException:
            self.close()
            raise
        small = {name.lower(): value for name, value in response.getheaders()}
        if small.get("content-encoding") == "gzip":
            data = gzip.decompress(data)
        return HubAnswer(response.status, data, small)

    def _connect(self) -> HTTPConnection:
        host = self._parts.hostname or ""
        if self._parts.scheme == "http":
            return HTTPConnection(host, self._parts.port, timeout=TIMEOUT_S)
        return HTTPSConnection(host, self._parts.port, timeout=TIMEOUT_S, context=self._context)
