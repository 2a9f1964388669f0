"""Brings this machine's history in step with the hub of its bench.

sync                      meet the hub once and say what went which way
sync join HUB CODE        join the bench that the code is for (--label: what to call this machine)
sync rotate               get a new key for this machine; the old one is worthless from then on
sync leave                forget the hub, and have this machine's key forgotten there

The folder of the history is found as the command `history` finds it. Ends with exit code 1 when the
hub could not be reached or both sides do not hold the same afterwards."""

from __future__ import annotations

import argparse
import asyncio
import gc
import socket
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from logic.cli.files import Wanted, read_input
from logic.cli.history import folder_of, tell_opening
from logic.history import FileDirectory, History
from logic.sync.agent import AgentEnvironment, Phase, SyncAgent
from logic.sync.http_transport import HttpTransport, hub_address
from logic.sync.pairing import PairingFile
from logic.sync.session import SyncOutcome
from logic.sync.wire import Code
from shared.errors import InputError
from shared.words import say, say_many

LONGEST_CERTIFICATES = 4_000_000
"""Bytes: many times what the authorities of all the world take up (common practice, no source)."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What to do, and where the history is."""
    parser.add_argument(
        "do", nargs="?", default="meet", choices=("meet", "join", "rotate", "leave")
    )
    parser.add_argument("hub", nargs="?", metavar="HUB", help="the hub's address, to join")
    parser.add_argument("code", nargs="?", metavar="CODE", help="the joining code")
    parser.add_argument("--label", default=socket.gethostname()[:64], help="name of this machine")
    parser.add_argument("--folder", type=Path, help="where this machine's history is kept")
    parser.add_argument("--trust", metavar="FILE", help="certificates to trust beside the usual")


def run(options: argparse.Namespace) -> int:
    """Does it. InputError for words that cannot be used, HubError where the hub refuses."""
    if options.do == "join" and not (options.hub and options.code):
        ask = say("give the hub's address and a joining code")
        raise InputError("join", options.hub or "", ask)
    if options.do != "join" and options.hub:
        raise InputError("sync", options.hub, say("only join takes an address"))
    if options.trust:
        read_input(options.trust, _certificates())  # the reader of certificates reads without end
    with closing(History.open(FileDirectory(folder_of(options)))) as history:
        tell_opening(history)
        gc.freeze()  # what stands now stands until the end, and is not swept over in between
        return asyncio.run(_do(options, history))


def _certificates() -> Wanted:
    return Wanted(
        "--trust", say("give a file of certificates"), LONGEST_CERTIFICATES, LONGEST_CERTIFICATES
    )


async def _do(options: argparse.Namespace, history: History) -> int:
    around = AgentEnvironment(lambda address: HttpTransport(address, options.trust))
    agent = SyncAgent(history, PairingFile(history.journal.directory), around, batch=1000)
    await agent.load()
    if options.do == "join":
        pairing = await agent.join(hub_address(options.hub), options.code, options.label)
        print(say("joined {bench} as {label}", bench=pairing.bench_name, label=pairing.label))
    if agent.pairing is None:
        raise InputError("sync", "this machine", say("join a bench first: sync join HUB CODE"))
    if options.do == "leave":
        await agent.leave()
        print(agent.status.message or say("left; everything recorded stays on this machine"))
        return 0
    if options.do == "rotate":
        await agent.rotate_key()
        print(say("this machine has a new key; the old one is worthless"))
    return _say_outcome(await agent.sync_now(), agent)


def _say_outcome(outcome: SyncOutcome | None, agent: SyncAgent) -> int:
    if outcome is not None:
        exchanged = say_many(
            "{count} entry sent, {received} received",
            "{count} entries sent, {received} received",
            outcome.sent,
            received=outcome.received,
        )
        print(exchanged)
    if outcome is not None and outcome.skew_ms:
        print(_clock(outcome.skew_ms // 60_000))
    for line in _about_names(outcome) if outcome else ():
        print(line)
    if agent.status.message:
        print(agent.status.message)
    return 0 if agent.status.phase is Phase.IN_STEP else 1


def _about_names(outcome: SyncOutcome) -> Iterator[str]:
    """Whose entries came by file, and which wait for the device that wrote them."""
    for device, brought_by in sorted(outcome.via.items()):
        facts = {"name": device[-4:], "device": brought_by}
        yield say("entries of device …{name} came by file via {device}", **facts)
    waiting = [each for each in outcome.refused.values() if each.code == Code.NAME_TAKEN]
    if waiting:
        yield say_many(
            "{count} entry waits here: the device that wrote it brings it to the hub",
            "{count} entries wait here: the devices that wrote them bring them to the hub",
            len(waiting),
        )


def _clock(ahead_min: int) -> str:
    if ahead_min < 0:
        return say(
            "The hub's clock is {minutes} minutes behind this machine's.", minutes=-ahead_min
        )
    return say("The hub's clock is {minutes} minutes ahead of this machine's.", minutes=ahead_min)
