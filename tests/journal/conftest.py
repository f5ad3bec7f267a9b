"""Real stores for the tests: a line file, SQLite, and a PostgreSQL server of our own on a Unix socket."""

from __future__ import annotations

import itertools
import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from voicefit.journal.store import Store, open_store

SERVER_USER = "nobody"  # PostgreSQL refuses to run as root


@dataclass
class Server:
    """A PostgreSQL server in a scratch folder, reached by its Unix socket alone."""

    folder: Path
    binaries: Path
    process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        # setpriv ends the server with the tests, also when they are killed, and leaves root behind.
        command = [str(self.binaries / "postgres"), "-D", str(self.folder / "data"), "-k", str(self.folder)]
        with (self.folder / "log").open("ab") as log:
            self.process = subprocess.Popen(
                [*_as_server_user(), *command, "-c", "listen_addresses=", "-c", "fsync=off"],
                stdout=subprocess.DEVNULL,
                stderr=log,
                cwd=self.folder,
            )
        for _ in range(300):
            ready = subprocess.run(
                [str(self.binaries / "pg_isready"), "-q", "-h", str(self.folder), "-d", "postgres"], check=False
            )
            if ready.returncode == 0:
                return
            time.sleep(0.1)
        raise AssertionError((self.folder / "log").read_text())

    def stop(self) -> None:
        if self.process is not None:
            self.process.send_signal(signal.SIGINT)  # does not wait for clients to leave
            self.process.wait(30)
            self.process = None

    def url(self, database: str) -> str:
        return f"postgresql+psycopg://{_server_user()}@/{database}?host={self.folder}"

    def create(self, database: str) -> str:
        subprocess.run(
            [str(self.binaries / "createdb"), "-h", str(self.folder), "-U", _server_user(), database], check=True
        )
        return self.url(database)


def _server_user() -> str:
    import pwd

    return SERVER_USER if os.geteuid() == 0 else pwd.getpwuid(os.geteuid()).pw_name


def _as_server_user() -> list[str]:
    if os.geteuid() != 0:
        return ["setpriv", "--pdeathsig", "INT"]
    return ["setpriv", "--pdeathsig", "INT", "--reuid", SERVER_USER, "--regid", "nogroup", "--clear-groups"]


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/postgres"))
    binary = str(found[-1]) if found else shutil.which("postgres")
    assert binary, "these tests need a real PostgreSQL: apt-get install postgresql (or put postgres on the PATH)"
    folder = Path(tempfile.mkdtemp(prefix="voicefit-pg-"))
    if os.geteuid() == 0:
        shutil.chown(folder, SERVER_USER)
    server = Server(folder, Path(binary).parent)
    made = subprocess.run(
        [
            *_as_server_user(),
            *(str(server.binaries / "initdb"), "-D", str(folder / "data"), "-A", "trust", "-E", "UTF8"),
            *("-U", _server_user(), "--locale=C", "--no-sync"),
        ],
        capture_output=True,
        text=True,
        cwd=folder,
        check=False,
    )
    assert made.returncode == 0, made.stderr
    server.start()
    try:
        yield server
    finally:
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def quick_folder() -> Iterator[Path]:
    """In memory where the system has such a folder: a killed process leaves its writes there as on a disk."""
    memory = Path("/dev/shm")
    folder = Path(tempfile.mkdtemp(prefix="voicefit-", dir=memory if memory.is_dir() else None))
    yield folder
    shutil.rmtree(folder)


_databases = itertools.count(1)


@pytest.fixture(params=["line file", "sqlite", "postgresql"])
def location(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """A place for a new store, of each kind in turn."""
    if request.param == "postgresql":
        server: Server = request.getfixturevalue("server")
        return server.create(f"store{next(_databases)}")
    return str(tmp_path / ("a.journal" if request.param == "line file" else "a.sqlite"))


@pytest.fixture
def opened() -> Iterator[Callable[[str], Store]]:
    """Opens stores and closes them after the test."""
    stores: list[Store] = []

    def open_one(location: str) -> Store:
        stores.append(open_store(location))
        return stores[-1]

    yield open_one
    for store in stores:
        store.close()
