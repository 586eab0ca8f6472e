"""Drawings that were sent and are not kept yet: a folder each, read apart, removed after a day."""

from __future__ import annotations

import json
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, BinaryIO, Literal

from fieldapp.errors import BusyError, FieldappError, InputError, NotFoundError
from fieldapp.formats.drawing import Drawing
from fieldapp.formats.drawing_document import read_drawing_document
from fieldapp.settings import FileLimits, Settings
from fieldapp.workflow.apart import ANSWER, ApartLimits, run_apart
from fieldapp.workflow.apart_work import DRAWING, FILE
from fieldapp.workflow.spool import Spool

AT_ONCE = 2
BUSY = "Two files are being brought in already; send this one when one of them is done, in a minute or so."
STOPPED = "The server met a fault while it read this file; send it again."
STILL_READING = "This file is still being read; ask again in a moment."
GONE = "There is no import '{id}' here; imports are removed after {hours} hours. Send the file again."
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
        self._spool = Spool(settings.data_dir / "imports", settings.files.hours)
        self._limits = settings.files
        self._lock = threading.Lock()
        self._under_way: dict[str, _UnderWay] = {}

    @contextmanager
    def receive(self, site_id: str, name: str) -> Iterator[tuple[str, BinaryIO]]:
        """Give an id and a file to write what comes into; once all has come it is read apart.

        Raises BusyError for one too many. Where the sending fails nothing stays of it.
        """
        self.clear()
        new = self._begin(site_id, name)
        try:
            with (self._spool.make(new) / FILE).open("wb") as file:
                yield new, file
            self._read(new, site_id, name)
        except BaseException:
            self._end(new)
            self._spool.remove(new)
            raise

    def state(self, site_id: str, import_id: str) -> ImportState:
        """Return how far an import of a site has come; raises NotFoundError."""
        with self._lock:
            under_way = self._under_way.get(import_id)
        if under_way is not None and under_way.state.site_id == site_id:
            return replace(under_way.state, seconds=round(time.monotonic() - under_way.began, 1))
        about = self._spool.about(import_id)
        if about is None or about["site_id"] != site_id:
            raise NotFoundError(GONE.format(id=import_id[:40], hours=self._limits.hours))
        return ImportState(**about)

    def drawing(self, site_id: str, import_id: str) -> Drawing:
        """Return what an import was read as; raises NotFoundError, and InputError where it was not or not yet."""
        state = self.state(site_id, import_id)
        if state.state != "ready":
            raise InputError(state.words or STILL_READING)
        file = self._spool.folder(import_id) / DRAWING
        return _kept_drawing(str(file), file.stat().st_mtime_ns)

    def clear(self) -> None:
        """Remove what is too old, and what a server that stopped left unfinished."""
        with self._lock:
            busy = set(self._under_way)
        self._spool.clear(busy)

    def close(self) -> None:
        """Stop whatever still reads."""
        with self._lock:
            processes = [one.process for one in self._under_way.values() if one.process]
        for process in processes:
            process.kill()

    def _begin(self, site_id: str, name: str) -> str:
        new = self._spool.new_id()
        with self._lock:
            if len(self._under_way) >= AT_ONCE:
                raise BusyError(BUSY)
            self._under_way[new] = _UnderWay(ImportState(new, site_id, name, "sending"))
        return new

    def _end(self, import_id: str) -> None:
        with self._lock:
            self._under_way.pop(import_id, None)

    def _read(self, import_id: str, site_id: str, name: str) -> None:
        size = (self._spool.folder(import_id) / FILE).stat().st_size
        under_way = _UnderWay(ImportState(import_id, site_id, name, "reading", size))
        with self._lock:
            self._under_way[import_id] = under_way
        threading.Thread(target=self._read_apart, args=(under_way,), daemon=True).start()

    def _read_apart(self, under_way: _UnderWay) -> None:
        state, limits = under_way.state, self._limits
        folder = self._spool.folder(state.id)
        outcome: dict[str, Any] = {"state": "refused", "words": STOPPED}
        try:
            answer = run_apart(
                "drawing",
                folder,
                {"name": state.name, "limits": drawing_limits(limits)},
                ApartLimits(limits.memory_bytes, limits.seconds),
                lambda process: setattr(under_way, "process", process),
            )
            outcome = {"state": "ready", "peak_bytes": answer["peak_bytes"]}
        except FieldappError as fault:
            outcome = {"state": "refused", "words": str(fault)}
        finally:
            for left in (FILE, ANSWER):
                (folder / left).unlink(missing_ok=True)
            seconds = round(time.monotonic() - under_way.began, 1)
            self._spool.tell(state.id, {**vars(state), **outcome, "seconds": seconds})
            self._end(state.id)


def drawing_limits(limits: FileLimits) -> dict[str, int]:
    """Return what the settings say of a drawing, as `DrawingLimits` has it."""
    return {
        "most_bytes": limits.import_bytes,
        "most_dxf_bytes": limits.import_dxf_bytes,
        "most_unpacked_bytes": limits.import_unpacked,
        "most_points": limits.import_points,
        "most_lines": limits.import_lines,
    }


@lru_cache(maxsize=2)
def _kept_drawing(file: str, _changed_at: int) -> Drawing:
    return read_drawing_document(json.loads(Path(file).read_text(encoding="utf-8")))
