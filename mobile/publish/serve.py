"""Serves a built site on this machine, the way a careful static host would."""

from __future__ import annotations

import hashlib
import re
import sys
from functools import partial
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import unquote, urlsplit

from mobile.publish.precache import content_type

_ENCODINGS = (("br", ".br"), ("gzip", ".gz"))


class SiteHandler(BaseHTTPRequestHandler):
    """Answers GET and HEAD from one folder and nothing else."""

    protocol_version = "HTTP/1.1"
    server_version = "Nutwright"
    sys_version = ""

    def __init__(self, site: Path, base: str, *rest: object) -> None:
        self.site = site
        self.base = base
        super().__init__(*rest)  # type: ignore[arg-type]

    def do_GET(self) -> None:
        """Send the file."""
        self._answer(with_body=True)

    def do_HEAD(self) -> None:
        """Send the file's headers."""
        self._answer(with_body=False)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing: the address is all a technician needs to read."""

    def _answer(self, with_body: bool) -> None:
        path = unquote(urlsplit(self.path).path)
        if path + "/" == self.base:
            self._send(HTTPStatus.MOVED_PERMANENTLY, {"Location": self.base}, b"", with_body)
            return
        name = self._name(path)
        file = self._file(name)
        if file is None and self.headers.get("Service-Worker") == "script":
            # A worker that somebody else set up is succeeded only under its own address.
            name, file = "sw.js", self._file("sw.js")
        if file is None:
            text = b"There is no such file here.\n"
            headers = {"Content-Type": "text/plain; charset=utf-8", "Cache-Control": "no-store"}
            self._send(HTTPStatus.NOT_FOUND, headers, text, with_body)
            return
        self._send_file(name, file, with_body)

    def _name(self, path: str) -> str:
        if not path.startswith(self.base):
            return ""
        name = path.removeprefix(self.base)
        return name + "index.html" if name == "" or name.endswith("/") else name

    def _file(self, name: str) -> Path | None:
        """The file called `name`, or None when it is missing or lies outside the site."""
        if not name or "\0" in name:
            return None
        file = (self.site / name).resolve()
        inside = file.is_relative_to(self.site)
        return file if inside and file.is_file() else None

    def _send_file(self, name: str, file: Path, with_body: bool) -> None:
        headers = {
            "Content-Type": content_type(name),
            "Cache-Control": "no-cache",
            "X-Content-Type-Options": "nosniff",
            "Vary": "Accept-Encoding",
        }
        accepted = _accepted(self.headers.get("Accept-Encoding", ""))
        for encoding, suffix in _ENCODINGS:
            packed = file.with_name(file.name + suffix)
            if encoding in accepted and packed.is_file():
                headers["Content-Encoding"] = encoding
                file = packed
                break
        body = file.read_bytes()
        headers["ETag"] = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
        if headers["ETag"] in self.headers.get("If-None-Match", ""):
            self._send(HTTPStatus.NOT_MODIFIED, headers, b"", with_body=False)
        else:
            self._send(HTTPStatus.OK, headers, body, with_body)

    def _send(
        self, status: HTTPStatus, headers: dict[str, str], body: bytes, with_body: bool
    ) -> None:
        self.send_response(status)
        for key, value in headers.items():
            self.send_header(key, value)
        if status is not HTTPStatus.NOT_MODIFIED:
            self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if with_body:
            self.wfile.write(body)


def _accepted(header: str) -> set[str]:
    """The encodings a browser takes; one marked q=0 is one it does not."""
    offers = (offer.replace(" ", "").split(";") for offer in header.split(","))
    return {name for name, *quality in offers if not re.fullmatch(r"q=0(\.0*)?", "".join(quality))}


class SiteServer(ThreadingHTTPServer):
    """A server that takes a browser's hanging up for what it is: nothing to report."""

    daemon_threads = True

    def handle_error(self, request: object, client_address: object) -> None:
        """Report what went wrong, unless the browser only left."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


def server(
    site: Path,
    *,
    port: int = 0,
    host: str = "127.0.0.1",
    base: str = "/",
) -> SiteServer:
    """A server of folder `site` under `base`, bound but not yet serving."""
    handler = partial(SiteHandler, site.resolve(), base)
    return SiteServer((host, port), handler)
