"""Server processes that branch off one which has fieldapp loaded: loading it takes longer than many a test."""

from __future__ import annotations

import multiprocessing
import os
import subprocess
import sys
from multiprocessing.connection import Connection
from pathlib import Path
from typing import IO

LOADED = multiprocessing.get_context("forkserver")
LOADED.set_forkserver_preload(["fieldapp.cli", "fieldapp.server.serving", "uvloop", "httptools"])


class Branched:
    """A `fieldapp` command as a process of its own, with what tests ask of a `subprocess.Popen`."""

    def __init__(self, words: list[str], folder: Path, environment: dict[str, str]) -> None:
        told, says = LOADED.Pipe(duplex=False)
        self._process = LOADED.Process(target=_run, args=(words, folder, environment, says), daemon=True)
        self._process.start()
        says.close()
        self.pid = self._process.pid
        self.stdout: IO[str] = os.fdopen(os.dup(told.fileno()), encoding="utf-8")
        told.close()

    def poll(self) -> int | None:
        """The exit code, None while it runs."""
        return self._process.exitcode

    def send_signal(self, how: int) -> None:
        """Send a signal to it."""
        if self.poll() is None:
            os.kill(self.pid, how)

    def wait(self, timeout: float | None = None) -> int:
        """The exit code, once it has ended; raises subprocess.TimeoutExpired."""
        self._process.join(timeout)
        code = self.poll()
        if code is None:
            raise subprocess.TimeoutExpired("fieldapp", timeout or 0)
        return code


def _run(words: list[str], folder: Path, environment: dict[str, str], says: Connection) -> None:
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    for stream in (1, 2):
        os.dup2(says.fileno(), stream)
    says.close()
    sys.stdout, sys.stderr = (
        os.fdopen(stream, "w", buffering=1, encoding="utf-8", closefd=False) for stream in (1, 2)
    )
    sys.argv = ["fieldapp", *words]
    from fieldapp.cli import main

    main()
