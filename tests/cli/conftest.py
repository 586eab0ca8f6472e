"""The command run inside the test, or as a process of its own."""

import os
import re
import shutil
import signal
import subprocess
import sys
import threading
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

import httpx
import pytest

from fieldapp.cli import run
from tests.server_forks import Branched

REPOSITORY = Path(__file__).parent.parent.parent
SMALL_SITE = REPOSITORY / "tests" / "workflow" / "small_site"


@dataclass(frozen=True)
class Outcome:
    """What a command came to."""

    code: int
    out: str
    err: str


@pytest.fixture
def fieldapp(capsys, monkeypatch, tmp_path):
    """Runs a command in an empty folder and environment."""
    monkeypatch.chdir(tmp_path)
    for name in [name for name in os.environ if name.startswith("FIELDAPP_")]:
        monkeypatch.delenv(name)

    def called(*arguments):
        code = run([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        return Outcome(code, out, err)

    return called


@pytest.fixture
def process():
    """Runs `python -m fieldapp` as a process of its own."""

    def called(*arguments, **environment):
        done = subprocess.run(
            [sys.executable, "-m", "fieldapp", *map(str, arguments)],
            cwd=REPOSITORY,
            env={**os.environ, **environment},
            capture_output=True,
            text=True,
            timeout=60,
        )
        return Outcome(done.returncode, done.stdout, done.stderr)

    return called


@pytest.fixture
def folder(tmp_path):
    """A copy of the small site's folder."""
    return Path(shutil.copytree(SMALL_SITE, tmp_path / "small_site"))


class Served:
    """A `fieldapp demo` or `serve` process that has said its address."""

    def __init__(self, process):
        self.process = process
        self.lines = []
        self._announced = threading.Event()
        self._reader = threading.Thread(target=self._read)
        self._reader.start()
        assert self._announced.wait(60), "".join(self.lines)
        assert self.process.poll() is None, "".join(self.lines)
        self.address = re.search(r"http://\S+:\d+", "".join(self.lines)).group(0)

    def stop(self, how=signal.SIGINT):
        """Send a signal; return the exit code and everything that was printed."""
        self.process.send_signal(how)
        code = self.process.wait(timeout=20)
        self._reader.join(10)
        return code, "".join(self.lines)

    def _read(self):
        with self.process.stdout as printed:
            for line in printed:
                self.lines.append(line)
                if "Ctrl-C" in line:
                    self._announced.set()
        self._announced.set()


@pytest.fixture
def running():
    """Server processes; whatever still runs at the end is stopped."""
    started = []
    yield started
    for server in started:
        if server.process.poll() is None:
            server.stop(signal.SIGKILL)


@pytest.fixture
def served(running):
    """Starts server processes, each from nothing."""

    def start(*arguments, **environment):
        process = subprocess.Popen(
            [sys.executable, "-m", "fieldapp", *map(str, arguments)],
            cwd=REPOSITORY,
            env={**os.environ, "PYTHONIOENCODING": "utf-8", **environment},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
        )
        running.append(Served(process))
        return running[-1]

    return start


@pytest.fixture
def branched(running):
    """Starts server processes where it is not the start that is tested."""

    def start(*arguments, **environment):
        words = [str(argument) for argument in arguments]
        running.append(Served(Branched(words, REPOSITORY, {**os.environ, **environment})))
        return running[-1]

    return start


@pytest.fixture
def data(fieldapp, tmp_path):
    """A data folder that holds the small site, and a link of a manager, so that it may be served."""
    assert fieldapp("site", "load", SMALL_SITE, "--data", tmp_path / "data").code == 0
    link_of(fieldapp, tmp_path / "data", "manage")
    return tmp_path / "data"


def link_of(fieldapp, data, role, *more):
    """Make a link; return its address."""
    done = fieldapp("link", "make", "--name", "Robin", "--role", role, "--data", data, *more)
    assert done.code == 0, done.err
    return next(line for line in done.out.splitlines() if "/enter/" in line)


@pytest.fixture
def client_of(fieldapp, data):
    """Makes HTTP clients that a link of their own has let in to a server of the data folder."""
    made = []

    def make(server, role="manage", **headers):
        path = urlsplit(link_of(fieldapp, data, role)).path
        client = httpx.Client(base_url=server.address, headers=headers)
        made.append(client)
        assert client.post(path, data={"next": "/"}).status_code == 303
        return client

    yield make
    for client in made:
        client.close()
