"""Builds the site that an operator publishes once a host that was in other hands is theirs again.

It is the app, with a worker that every device takes over from at once: it deletes the copies and
notes that are not its own and has open pages load anew. Records are stored elsewhere. Builds that
follow it go on doing so for devices that come back later (see `Lineage.recovery`).
"""

from __future__ import annotations

from pathlib import Path, PurePosixPath

from mobile.publish.build import build
from mobile.publish.builds import Lineage
from mobile.publish.pack import PublishedApp
from shared.errors import BuildError


def build_recovery(
    app: PublishedApp,
    out: Path,
    name: str,
    *,
    base: str = "./",
    hubs: tuple[str, ...] = (),
    workers: tuple[str, ...] = (),
) -> str:
    """Write the site into folder `out` and return its build id, another for each `name`.

    `name` is in hexadecimal digits and must be one that nobody could know in that time. `workers`
    are paths in the site under which the other host had workers of its own: this one lies there
    too, since a browser asks for a worker's successor under its own address. The rest is as for
    `build`.
    """
    for path in workers:
        _check_path(path)
    made = build(app, out, base=base, hubs=hubs, lineage=Lineage(recovery=name))
    for path in workers:
        (out / path).parent.mkdir(parents=True, exist_ok=True)
        (out / path).write_bytes((out / "sw.js").read_bytes())
    return made


def _check_path(path: str) -> None:
    parts = PurePosixPath(path).parts
    if not path.endswith(".js") or path.startswith("/") or ".." in parts:
        raise BuildError(
            f"--worker {path!r} is not the path of a script in the site",
            safe="No site was written.",
            next="Write it as the host's log has it below the site, such as other/worker.js",
        )
