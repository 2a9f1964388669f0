"""The built app, served from a folder, so that a phone needs one address only."""

from __future__ import annotations

import os
from email.utils import formatdate, parsedate_to_datetime
from pathlib import Path, PurePosixPath

from starlette.datastructures import Headers
from starlette.requests import Request
from starlette.responses import FileResponse, Response

from logic.sync.hub.replies import error_reply
from logic.sync.wire import Code

TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".otf": "font/otf",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".ttf": "font/ttf",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".woff2": "font/woff2",
    ".zip": "application/zip",
}
_PACKED = (("br", ".br"), ("gzip", ".gz"))


class Site:
    """Answers GET and HEAD from one folder and nothing else."""

    def __init__(self, folder: Path | None) -> None:
        self._folder = folder.resolve() if folder else None

    async def answer(self, request: Request) -> Response:
        """The file asked for, packed where the client takes it packed."""
        name = request.path_params["path"]
        file = self._file(name + "index.html" if name == "" or name.endswith("/") else name)
        if file is None and request.headers.get("service-worker") == "script":
            file = self._file("sw.js")  # a worker is succeeded only under its own address
        if file is None:
            return error_reply(404, Code.NOT_FOUND, "There is no such page here")
        return _send(file, request.headers)

    def _file(self, name: str) -> Path | None:
        """The file called `name`, or None when it is missing or lies outside the folder."""
        if self._folder is None or "\0" in name:
            return None
        try:
            file = (self._folder / name).resolve()
            inside = file.is_relative_to(self._folder)
            return file if inside and file.is_file() else None
        except OSError:  # a name longer than any file's
            return None


def _send(file: Path, asked: Headers) -> Response:
    modified = int(os.stat(file).st_mtime)
    headers = {
        "Content-Type": TYPES.get(PurePosixPath(file.name).suffix, "application/octet-stream"),
        "Cache-Control": "no-cache",
        "Vary": "Accept-Encoding",
        "Last-Modified": formatdate(modified, usegmt=True),
    }
    if _unchanged(asked.get("if-modified-since", ""), modified):
        return Response(status_code=304, headers=headers)
    accepted = {word.split(";")[0].strip() for word in asked.get("accept-encoding", "").split(",")}
    for encoding, suffix in _PACKED:
        packed = file.with_name(file.name + suffix)
        if encoding in accepted and packed.is_file():
            return FileResponse(packed, headers=headers | {"Content-Encoding": encoding})
    return FileResponse(file, headers=headers)


def _unchanged(since: str, modified: int) -> bool:
    try:
        return modified <= parsedate_to_datetime(since).timestamp()
    except ValueError:
        return False
