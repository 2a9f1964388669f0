"""Sets up what a fresh machine lacks, so that one command is enough. Standard library only.

`ensure` makes a private environment in `.venv` holding what pyproject.toml pins and carries on in
it; `need_program` installs a system program through Debian's package tool when it may.
"""

from __future__ import annotations

import ctypes
import hashlib
import os
import shutil
import subprocess
import sys
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
OLDEST_PYTHON = (3, 11)


def ensure(*extras: str) -> None:
    """Return with every dependency importable; this may restart the program inside `.venv`.

    `extras` are names under [project.optional-dependencies]. Leaves with one clear line when the
    machine cannot be set up.
    """
    if sys.version_info < OLDEST_PYTHON:
        sys.exit("Nutwright needs Python 3.11 or newer; this is " + sys.version.split()[0] + ".")
    wanted = _requirements(extras)
    if all(_is_met(requirement) for requirement in wanted):
        return
    python = _prepare_venv(wanted)
    if Path(sys.prefix).resolve() == VENV.resolve():
        sys.exit("The environment in .venv is damaged. Delete the folder .venv and try again.")
    os.execv(python, [str(python), *sys.orig_argv[1:]])


def need_program(name: str, *packages: str) -> str:
    """The path of program `name`, installing Debian `packages` when it is missing and we may."""
    if not shutil.which(name):
        install_system_packages(*packages)
    found = shutil.which(name)
    if not found:
        sys.exit(f"{name} is needed. Install it ({' '.join(packages)}) and try again.")
    return found


def need_path(pattern: str, *packages: str) -> Path:
    """The last path under / that matches `pattern`, for programs that are on no search path."""
    if not (found := sorted(Path("/").glob(pattern))):
        install_system_packages(*packages)
        found = sorted(Path("/").glob(pattern))
    if not found:
        sys.exit(f"/{pattern} is needed. Install it ({' '.join(packages)}) and try again.")
    return found[-1]


def need_library(name: str, *packages: str) -> None:
    """Return with the shared library `name` on this machine, installing `packages` if we may."""
    if not _loads(name):
        install_system_packages(*packages)
    if not _loads(name):
        sys.exit(f"{name} is needed. Install it ({' '.join(packages)}) and try again.")


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def install_system_packages(*packages: str) -> None:
    """Install Debian `packages`; leaves with one line when this user may not."""
    admin = [] if os.geteuid() == 0 else ["sudo", "-n"]
    if not shutil.which("apt-get") or (admin and not shutil.which("sudo")):
        sys.exit(f"Install these packages and try again: {' '.join(packages)}")
    _say(f"installing {' '.join(packages)}")
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["update", "-qq"], ["install", "-y", "-qq", *packages]):
        done = subprocess.run(
            [*admin, "apt-get", *command], env=environment, stdout=subprocess.DEVNULL, check=False
        )
        if done.returncode:
            sys.exit(f"Could not install {' '.join(packages)}. Install them and try again.")


def _requirements(extras: tuple[str, ...]) -> list[str]:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = list(project["dependencies"])
    for extra in extras:
        wanted += project["optional-dependencies"][extra]
    return wanted


def _is_met(requirement: str) -> bool:
    """Present, and of the pinned version where one is pinned."""
    name, _, exact = requirement.partition("==")
    try:
        version = metadata.version(name.split(">")[0].split("[")[0].strip())
    except metadata.PackageNotFoundError:
        return False
    return not exact or version == exact


def _prepare_venv(wanted: list[str]) -> Path:
    python = VENV / "bin" / "python"
    stamp = VENV / f"ready-{hashlib.sha256(chr(10).join(wanted).encode()).hexdigest()[:16]}"
    if stamp.exists():
        return python
    if not _has_pip(python):
        _create_venv()
    _say("installing what Nutwright is built on (once)")
    quiet = ["-q", "--disable-pip-version-check"]
    done = subprocess.run([python, "-m", "pip", "install", *quiet, *wanted], check=False)
    if done.returncode:
        sys.exit("Could not install the packages above. Check the network and try again.")
    stamp.touch()
    return python


def _has_pip(python: Path) -> bool:
    try:
        return not subprocess.run([python, "-m", "pip", "-V"], capture_output=True).returncode
    except OSError:
        return False


def _create_venv() -> None:
    _say("making a private environment in .venv")
    create = [sys.executable, "-m", "venv", "--clear", str(VENV)]
    if subprocess.run(create, capture_output=True, check=False).returncode:
        # Debian ships Python without this part
        install_system_packages("python3-venv")
        subprocess.run(create, check=True)


def _say(text: str) -> None:
    print(f"Nutwright: {text} …", file=sys.stderr, flush=True)
