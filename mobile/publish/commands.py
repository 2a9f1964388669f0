"""The publisher's command line: build and serve, build, or serve."""

from __future__ import annotations

import argparse
import secrets
import sys
import webbrowser
from collections.abc import Sequence
from pathlib import Path

from mobile.publish.build import NUTWRIGHT, build
from mobile.publish.builds import in_words, lineage_after, published
from mobile.publish.recover import build_recovery
from mobile.publish.serve import SiteServer, server
from mobile.publish.stale import build_if_stale
from mobile.publish.uninstall import build_uninstall_site
from shared.bootstrap import ROOT
from shared.errors import BuildError, NutwrightError

SITE = ROOT / ".build" / "site"


def main(words: Sequence[str] | None = None) -> int:
    """Run the command that `words` name; 0 when done, 2 with one clear line when it cannot be."""
    asked = _parser().parse_args(words)
    try:
        if asked.command == "build":
            return _build(asked)
        if asked.command == "recover":
            return _recover(asked)
        if asked.command == "digest":
            print(in_words(published(asked.site).digest))
            return 0
        if asked.command == "tombstone":
            return _build_uninstall_site(asked)
        if asked.command == "serve":
            return _serve(asked, asked.site)
        build_if_stale(NUTWRIGHT, SITE)
        return _serve(asked, SITE)
    except (NutwrightError, OSError) as error:
        print(error, file=sys.stderr)
        return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m mobile", description=__doc__)
    _add_serving(parser)
    commands = parser.add_subparsers(dest="command", title="commands")
    making = commands.add_parser("build", help="write the static site")
    _add_making(making)
    making.add_argument(
        "--after", type=Path, help="the folder of the site before it (what is in --out, if left)"
    )
    recovering = commands.add_parser(
        "recover", help="write the site that follows a time in which the host was in other hands"
    )
    _add_making(recovering)
    recovering.add_argument(
        "--worker",
        action="append",
        default=[],
        help="another address of a worker that devices ask the host for",
    )
    telling = commands.add_parser("digest", help="print the digest of a built site")
    telling.add_argument("site", type=Path, help="the folder that `build` wrote")
    removing = commands.add_parser(
        "tombstone", help="write the site that takes the app away from devices, records excepted"
    )
    removing.add_argument("--out", type=Path, required=True, help="the folder to write")
    removing.add_argument(
        "--base", default="./", help="the path the app lived under (any, if left)"
    )
    serving = commands.add_parser("serve", help="serve a built site on this machine")
    serving.add_argument("site", type=Path, help="the folder that `build` wrote")
    _add_serving(serving)
    return parser


def _add_making(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--out", type=Path, required=True, help="the folder to write")
    parser.add_argument("--base", default="./", help="the path it will live under (any, if left)")
    parser.add_argument("--hub", action="append", default=[], help="a hub's origin it may reach")


def _add_serving(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--port", type=int, default=8550, help="8550 unless told; 0 for any free")
    parser.add_argument("--at", default="/", help="the path to serve it under")
    parser.add_argument("--no-open", action="store_true", help="do not open a browser")


def _build(asked: argparse.Namespace) -> int:
    lineage = lineage_after(asked.after) if asked.after else None
    build(NUTWRIGHT, asked.out, base=asked.base, hubs=tuple(asked.hub), lineage=lineage)
    _tell(asked.out)
    return 0


def _recover(asked: argparse.Namespace) -> int:
    build_recovery(
        NUTWRIGHT,
        asked.out,
        secrets.token_hex(8),
        base=asked.base,
        hubs=tuple(asked.hub),
        workers=tuple(asked.worker),
    )
    _tell(asked.out)
    print("Publish it at the address that served the app, whole, and let the next build follow it.")
    print("Then revoke the hub keys of every device that opened the app in that time.")
    print("assets/docs/site.md has the drill.")
    return 0


def _tell(site: Path) -> None:
    made = published(site)
    print(f"Build {made.build} is in {site}")
    print(f"Its digest: {in_words(made.digest)}")


def _build_uninstall_site(asked: argparse.Namespace) -> int:
    made = build_uninstall_site(NUTWRIGHT, asked.out, base=asked.base)
    print(
        f"Build {made} is in {asked.out}. Put it at the address that served the app, and leave it"
    )
    print("there: a device is rid of the app once it is opened there, and keeps its records.")
    return 0


def _bound(site: Path, port: int, base: str) -> SiteServer:
    try:
        return server(site, port=port, base=base)
    except OSError as error:
        raise BuildError(
            f"Port {port} cannot be used here: {error.strerror}",
            next="Name another with --port, or 0 for any free one",
        ) from None


def _serve(asked: argparse.Namespace, site: Path) -> int:
    if not (site / "precache.json").is_file():
        raise BuildError(f"{site} is not a site of ours", next="Make one with: build --out FOLDER")
    with _bound(site, asked.port, asked.at) as served:
        address = f"http://localhost:{served.server_port}{asked.at}"
        print(f"Nutwright is at {address} (Ctrl+C stops it)", flush=True)
        if not asked.no_open:
            webbrowser.open(address)
        try:
            served.serve_forever()
        except KeyboardInterrupt:
            print()
    return 0
