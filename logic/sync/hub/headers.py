"""Security headers that every answer carries."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = (
    "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self' blob:;"
    " style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self' data:;"
    " connect-src 'self' data: blob:;"
    " media-src 'self' data: blob:; object-src 'none'; base-uri 'self'; form-action 'none';"
    " frame-ancestors 'none'"
)
_ALWAYS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), payment=(), usb=()",
}


class SafeHeaders:
    """Adds the headers. Answers of the API are never stored on the way."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def adding(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _ALWAYS.items():
                    headers[name] = value
                headers.setdefault("Cache-Control", "no-store")
                if scope["scheme"] == "https":
                    headers["Strict-Transport-Security"] = "max-age=31536000"
            await send(message)

        await self._app(scope, receive, adding)
