"""What a site says of itself and of the builds before it, and what the next build takes from that.

A device goes back only to a build whose digest its worker knows. A build knows its last two
predecessors by the site that it takes the place of.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from pathlib import Path

from shared.errors import BuildError

LISTING = "precache.json"
RECORD = "builds.json"
"""On the host only: the build, its digest, those before it."""
KEPT = 2
"""So many predecessors can be gone back to."""


@dataclass(frozen=True)
class KnownBuild:
    """A build by its id, and the digest of its files."""

    build: str
    digest: str


@dataclass(frozen=True)
class Lineage:
    """What a build knows of those before it.

    `earlier` are its predecessors, latest first. `recovery` is the name of the last recovery of
    the host after it was in other hands, empty where there was none: devices that have not yet
    cleared away what such a time may have left do so when they meet it.
    """

    earlier: tuple[KnownBuild, ...] = ()
    recovery: str = ""

    def after(self, build: str) -> Lineage:
        """The same, as `build` itself sees it: the same sources again are no successor."""
        return Lineage(
            tuple(one for one in self.earlier if one.build != build)[:KEPT], self.recovery
        )


def digest_of(hashes: Iterable[tuple[str, str]]) -> str:
    """The digest of a build: SHA-256 over its files' paths and SHA-256, in order of the paths.

    Each path and each hash (hexadecimal) ends a line. `go_back.js` and `kept_copy.js` beside the
    page work it out in the same way.
    """
    lines = "".join(f"{path}\n{sha256}\n" for path, sha256 in sorted(hashes))
    return hashlib.sha256(lines.encode()).hexdigest()


def in_words(digest: str) -> str:
    """A digest in groups of eight, to be read to each other."""
    return " ".join(digest[start : start + 8] for start in range(0, len(digest), 8))


def published(site: Path) -> KnownBuild:
    """The build in folder `site`, its digest taken from its list.

    BuildError where there is none.
    """
    try:
        listing = json.loads((site / LISTING).read_text(encoding="utf-8"))
        hashes = [(entry["path"], entry["sha256"]) for entry in listing["files"]]
        return _known({"build": listing["build"], "digest": digest_of(hashes)})
    except (OSError, ValueError, TypeError, KeyError) as error:
        raise _no_site(site) from error


def lineage_after(site: Path) -> Lineage:
    """What a build that follows the one in folder `site` knows of those before it.

    A site of an older publisher has no record: it is known itself, and what came before it is not.
    """
    latest = published(site)
    try:
        noted = json.loads((site / RECORD).read_text(encoding="utf-8"))
        earlier = tuple(_known(one) for one in noted["earlier"])
        recovery = noted["recovery"]
        if not re.fullmatch(r"[0-9a-f]*", recovery):
            raise ValueError(recovery)
    except FileNotFoundError:
        return Lineage((latest,))
    except (ValueError, TypeError, KeyError) as error:
        raise _no_site(site) from error
    return Lineage((latest, *earlier), recovery)


def record(known: KnownBuild, lineage: Lineage) -> bytes:
    """builds.json of a site."""
    given = {**asdict(known), **asdict(lineage)}
    return json.dumps(given, indent=1).encode()


def _known(given: dict[str, str]) -> KnownBuild:
    known = KnownBuild(given["build"], given["digest"])
    if not re.fullmatch(r"[0-9a-f]{16}", known.build):
        raise ValueError(known.build)
    if not re.fullmatch(r"[0-9a-f]{64}", known.digest):
        raise ValueError(known.digest)
    return known


def _no_site(site: Path) -> BuildError:
    return BuildError(
        f"{site} does not say which build it holds, or which came before it",
        safe="No site was written.",
        next="Name the folder of a site that this publisher wrote, or leave --after out",
    )
