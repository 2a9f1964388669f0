"""A real PostgreSQL server that lives as long as the tests do, in a folder of its own."""

from __future__ import annotations

import atexit
import itertools
import os
import pwd
import shutil
import subprocess
import tempfile
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

import psycopg

from shared.bootstrap import need_path

_numbers = itertools.count(1)


class Cluster:
    """The server. It is reached through a socket in its folder, so it is in nobody's way."""

    def __init__(self) -> None:
        self._bin = need_path("usr/lib/postgresql/*/bin/initdb", "postgresql").parent
        self.folder = Path(tempfile.mkdtemp(prefix="nutwright-pg-"))
        self._who: dict[str, Any] = {}
        if os.geteuid() == 0:  # the server refuses to run as root
            user = pwd.getpwnam("postgres")
            os.chown(self.folder, user.pw_uid, user.pw_gid)
            self._who = {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}
        self._run("initdb", "-D", "data", "-A", "trust", "-U", "hub", "-E", "UTF8", "--no-sync")
        self.start()

    def start(self) -> None:
        """Start the server and wait until it answers."""
        settings = f"-k {self.folder} -c listen_addresses= -c fsync=off -c max_connections=60"
        self._run("pg_ctl", "-D", "data", "-w", "-l", "log", "-o", settings, "start")

    def stop(self, mode: str = "immediate") -> None:
        """Stop the server; `immediate` is as sudden as a kill."""
        self._run("pg_ctl", "-D", "data", "-w", "-m", mode, "stop")

    def remove(self) -> None:
        """Stop the server and take everything away."""
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def schema(self) -> str:
        """The URL of a fresh, empty place for one hub."""
        name = f"hub{next(_numbers)}"
        with psycopg.connect(self.url, autocommit=True) as connection:
            connection.execute(f"CREATE SCHEMA {name}".encode())
        return f"{self.url}&options={quote(f'-c search_path={name}')}"

    def dump(self, file: str) -> None:
        """Everything in the server, as the backup drill makes it."""
        self._run("pg_dump", "-h", str(self.folder), "-U", "hub", "-Fc", "-f", file, "postgres")

    def restore(self, file: str) -> None:
        """Everything put back as it was at the dump."""
        where = ("-h", str(self.folder), "-U", "hub")
        self._run("pg_restore", *where, "--clean", "--if-exists", "-d", "postgres", file)

    @property
    def url(self) -> str:
        """How psycopg finds the server."""
        return f"postgresql:///postgres?host={self.folder}&user=hub"

    def _run(self, program: str, *words: str) -> None:
        done = subprocess.run(
            [str(self._bin / program), *words],
            cwd=self.folder,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE if program != "pg_ctl" else subprocess.DEVNULL,
            check=False,
            **self._who,
        )
        assert done.returncode == 0, f"{program}: {(done.stderr or b'').decode()}"


@cache
def cluster() -> Cluster:
    """The one server of this run of the tests."""
    made = Cluster()
    atexit.register(made.remove)
    return made
