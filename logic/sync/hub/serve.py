"""Runs one process of a hub until it is told to stop."""

from __future__ import annotations

import gc
import logging
import re
import sys
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from logic.sync.hub.app import Hub, make_app
from logic.sync.hub.chores import PURGE_SECONDS, Chore, at_work, check_all, purge_all
from logic.sync.hub.connections import (
    HEADER_BYTES,
    Connections,
    make_room_for_connections,
    protocol_of,
)
from logic.sync.hub.metrics import JsonLines
from logic.sync.hub.open_database import open_database
from shared.errors import InputError
from shared.words import say

STOP_SECONDS = 10
"""Requests under way get this long to finish."""
COLLECT_AFTER = 20_000
"""Objects: a message of a thousand entries makes several thousand, and keeps none of them."""
_ORIGIN = re.compile(r"https?://[a-z0-9.-]+(:[0-9]{1,5})?|https?://\[[0-9a-f:]+\](:[0-9]{1,5})?")
SWITCH_SECONDS = 0.0005
"""After so long a thread that reads a message lets the event loop go on, a tenth of what is usual:
the loop has little to do each time, and somebody waits for it."""
_THIS_MACHINE = ("127.0.0.1", "::1", "localhost")


@dataclass(frozen=True)
class Serving:
    """How to serve. `proxy` is the address of a machine in front that ends TLS; every
    `check_hours` all entries are read again, never where that is 0."""

    store: str
    host: str = "127.0.0.1"
    port: int = 8443
    cert: Path | None = None
    key: Path | None = None
    app: Path | None = None
    origins: tuple[str, ...] = ()
    proxy: str = ""
    check_hours: float = 0

    @property
    def address(self) -> str:
        """Where to point a browser, as far as this process can know."""
        scheme = "https" if self.cert else "http"
        return f"{scheme}://{self.host}:{self.port}"


def serve(serving: Serving) -> None:
    """Serve until SIGINT or SIGTERM; answers under way are finished first."""
    _refuse_insecure_serving(serving)
    _log_to_stderr()
    make_room_for_connections()
    database = open_database(serving.store)
    try:
        hub = Hub(database, site=serving.app, origins=serving.origins)
        print(say("The hub is at {address}", address=serving.address), flush=True)
        config = server_config(serving, hub)
        gc.collect()
        gc.freeze()  # what exists now lives until the end, and need not be collected again
        gc.set_threshold(COLLECT_AFTER)
        sys.setswitchinterval(SWITCH_SECONDS)
        with at_work(_chores(serving, hub)):
            uvicorn.Server(config).run()
    finally:
        database.close()


def _chores(serving: Serving, hub: Hub) -> list[Chore]:
    database, now_ms = hub.database, hub.now_ms
    chores = [Chore("purge", PURGE_SECONDS, lambda: purge_all(database, now_ms))]
    if serving.check_hours:
        every_s = serving.check_hours * 3600
        chores.append(Chore("check", every_s, lambda: check_all(database, hub.metrics, now_ms)))
    return chores


def server_config(serving: Serving, hub: Hub) -> uvicorn.Config:
    """How the server is set up that answers for `hub`."""
    return uvicorn.Config(
        make_app(hub),
        host=serving.host,
        port=serving.port,
        ssl_certfile=serving.cert,
        ssl_keyfile=serving.key,
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=bool(serving.proxy),
        forwarded_allow_ips=serving.proxy or None,
        http=protocol_of(Connections(serving.proxy)),
        ws="none",
        loop="logic.sync.hub.connections:GuardedLoop",
        h11_max_incomplete_event_size=HEADER_BYTES,
        timeout_graceful_shutdown=STOP_SECONDS,
    )


def _refuse_insecure_serving(serving: Serving) -> None:
    """Keys never cross a network in the clear."""
    for origin in serving.origins:
        _refuse_any_origin(origin)
    if serving.check_hours < 0:
        ask = say("give hours, or 0 for never")
        raise InputError("check-every", serving.check_hours, ask)
    if bool(serving.cert) != bool(serving.key):
        ask = say("give --cert and --key together")
        raise InputError("cert", serving.cert or serving.key, ask)
    for name, file in (("cert", serving.cert), ("key", serving.key)):
        if file and not file.is_file():
            raise InputError(name, str(file), say("name a file that is there"))
    if serving.app and not (serving.app / "index.html").is_file():
        ask = say("name a folder that `python -m mobile build` made")
        raise InputError("app", str(serving.app), ask)
    if not (serving.cert or serving.proxy or serving.host in _THIS_MACHINE):
        ask = say("give --cert and --key, or --proxy where TLS ends in front of the hub")
        raise InputError("host", serving.host, ask)


def _refuse_any_origin(origin: str) -> None:
    """A page that may ask is named by its site, and each by itself: with a star, whatever page a
    browser of the shop's network opens could try keys and codes here."""
    if not _ORIGIN.fullmatch(origin):
        ask = say("name each site whose pages may ask, such as https://site.example")
        raise InputError("origin", origin, ask)


def _log_to_stderr() -> None:
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    for name, level in (("nutwright.hub", logging.INFO), ("uvicorn", logging.WARNING)):
        logger = logging.getLogger(name)
        logger.handlers, logger.propagate = [handler], False
        logger.setLevel(level)
