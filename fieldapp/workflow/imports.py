"""Drawings that were sent and are not kept yet: a folder each, read apart, removed after a day."""

from __future__ import annotations

import json
import secrets
import shutil
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any, BinaryIO, Literal

from fieldapp.errors import BusyError, FieldappError, NotFoundError
from fieldapp.formats.drawing import Drawing
from fieldapp.formats.drawing_document import read_drawing_document
from fieldapp.settings import Settings
from fieldapp.workflow.apart import ANSWER, ApartLimits, run_apart
from fieldapp.workflow.apart_work import DRAWING, FILE

AT_ONCE = 2
MOST_HELD = 50
ABOUT = "about.json"
BUSY = "Two files are being brought in already; send this one when one of them is done, in a minute or so."
STOPPED = "The server stopped while it read this file; send it again."
State = Literal["sending", "reading", "ready", "refused"]


@dataclass(frozen=True)
class ImportState:
    """How far an import has come; `words` says why it was refused, `seconds` is how long it has been read."""

    id: str
    site_id: str
    name: str
    state: State
    size: int = 0
    seconds: float = 0.0
    words: str = ""
    peak_bytes: int = 0


@dataclass
class _UnderWay:
    state: ImportState
    began: float = field(default_factory=time.monotonic)
    process: subprocess.Popen[bytes] | None = None


class Imports:
    """The imports of a server, in a folder of the data. Nothing in it belongs to a site before it is taken."""

    def __init__(self, settings: Settings) -> None:
        self._folder = settings.data_dir / "imports"
        self._limits = settings.files
        self._lock = threading.Lock()
        self._under_way: dict[str, _UnderWay] = {}

    @contextmanager
    def receive(self, site_id: str, name: str) -> Iterator[tuple[str, BinaryIO]]:
        """Give an id and a file to write what comes into; read it apart once all has come.

        Raises BusyError for one too many. Where the sending fails nothing stays of it.
        """
        self.clear()
        new = self._begin(site_id, name)
        folder = self._folder / new
        try:
            folder.mkdir(parents=True)
            with (folder / FILE).open("wb") as file:
                yield new, file
            self._read(new, site_id, name)
        except BaseException:
            self._end(new)
            shutil.rmtree(folder, ignore_errors=True)
            raise

    def state(self, site_id: str, import_id: str) -> ImportState:
        """Return how far an import of a site has come; raises NotFoundError."""
        with self._lock:
            under_way = self._under_way.get(import_id)
        if under_way is not None and under_way.state.site_id == site_id:
            seconds = time.monotonic() - under_way.began
            return ImportState(**{**vars(under_way.state), "seconds": round(seconds, 1)})
        about = self._about(import_id)
        if about is None or about["site_id"] != site_id:
            raise NotFoundError(
                f"There is no import '{import_id[:40]}' here; imports are removed after {self._limits.hours} hours. "
                "Send the file again."
            )
        return ImportState(**about)

    def drawing(self, site_id: str, import_id: str) -> Drawing:
        """Return what an import was read as; raises NotFoundError, and ConflictError's parent in words where it is not."""
        state = self.state(site_id, import_id)
        if state.state != "ready":
            raise NotFoundError(state.words or "This file is still being read; ask again in a moment.")
        file = self._folder / import_id / DRAWING
        return _kept_drawing(str(file), file.stat().st_mtime_ns)

    def clear(self) -> None:
        """Remove what is too old, what a stopped server left, and the oldest where very many are held."""
        if not self._folder.is_dir():
            return
        with self._lock:
            busy = set(self._under_way)
        held = [(folder.stat().st_mtime, folder) for folder in self._folder.iterdir() if folder.name not in busy]
        held.sort(reverse=True)
        oldest = time.time() - self._limits.hours * 3600
        for turn, (at, folder) in enumerate(held):
            if at < oldest or turn >= MOST_HELD or not (folder / ABOUT).exists():
                shutil.rmtree(folder, ignore_errors=True)

    def close(self) -> None:
        """Stop whatever still reads."""
        with self._lock:
            processes = [one.process for one in self._under_way.values() if one.process]
        for process in processes:
            process.kill()

    def _begin(self, site_id: str, name: str) -> str:
        new = secrets.token_hex(12)
        with self._lock:
            if len(self._under_way) >= AT_ONCE:
                raise BusyError(BUSY)
            self._under_way[new] = _UnderWay(ImportState(new, site_id, name, "sending"))
        return new

    def _end(self, import_id: str) -> None:
        with self._lock:
            self._under_way.pop(import_id, None)

    def _read(self, import_id: str, site_id: str, name: str) -> None:
        size = (self._folder / import_id / FILE).stat().st_size
        under_way = _UnderWay(ImportState(import_id, site_id, name, "reading", size))
        with self._lock:
            self._under_way[import_id] = under_way
        threading.Thread(target=self._read_apart, args=(under_way,), daemon=True).start()

    def _read_apart(self, under_way: _UnderWay) -> None:
        state, limits = under_way.state, self._limits
        folder = self._folder / state.id
        outcome: dict[str, Any] = {"state": "refused", "words": STOPPED}
        try:
            answer = run_apart(
                "drawing",
                folder,
                {"name": state.name, "most_bytes": limits.import_bytes},
                ApartLimits(limits.memory_bytes, limits.seconds),
                lambda process: setattr(under_way, "process", process),
            )
            outcome = {"state": "ready", "peak_bytes": answer["peak_bytes"]}
        except FieldappError as fault:
            outcome = {"state": "refused", "words": str(fault)}
        finally:
            (folder / FILE).unlink(missing_ok=True)
            (folder / ANSWER).unlink(missing_ok=True)
            seconds = round(time.monotonic() - under_way.began, 1)
            about = {**vars(state), **outcome, "seconds": seconds}
            unfinished = folder / f"{ABOUT}.part"
            unfinished.write_text(json.dumps(about), encoding="utf-8")
            unfinished.replace(folder / ABOUT)
            self._end(state.id)

    def _about(self, import_id: str) -> dict[str, Any] | None:
        if not import_id.isascii() or not import_id.isalnum():
            return None
        try:
            about: dict[str, Any] = json.loads((self._folder / import_id / ABOUT).read_text(encoding="utf-8"))
        except OSError:
            return None
        return about


@lru_cache(maxsize=2)
def _kept_drawing(file: str, _changed_at: int) -> Drawing:
    return read_drawing_document(json.loads(Path(file).read_text(encoding="utf-8")))
