"""Files that somebody sent are read in a process of its own, with limits on its memory and time.

A file made to exhaust or crash its reader takes that process with it, and nothing else.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import fieldapp
from fieldapp.errors import FormatError

ASKED, ANSWER = "asked.json", "answer.json"
CRASHED = (
    "This file cannot be read: it breaks what reads it. Save it again, or as another kind, and send that."
)
TOO_LONG = (
    "Reading this file took longer than {seconds} s and was stopped; send a part of it, such as one hole."
)
TOO_MUCH = (
    "Reading this file would take more than {megabytes:,} MB of memory and was stopped; send a part of it, such as "
    "one hole."
)
SOONER_S = 5
"""The process itself stops when its time is over; the one that waits for it does so a little later."""


@dataclass(frozen=True)
class ApartLimits:
    """What such a process may take."""

    memory_bytes: int
    seconds: int


def run_apart(
    task: str,
    folder: Path,
    asked: dict[str, Any],
    limits: ApartLimits,
    started: Callable[[subprocess.Popen[bytes]], None] = lambda _process: None,
) -> dict[str, Any]:
    """Do a task of `apart_work` in a folder and return its answer; raises FormatError in words.

    `asked` goes to the task. What it writes stays in the folder; `peak_bytes` of the answer is the memory it took.
    `started` is given the process, for who may have to stop it.
    """
    limited = {"task": task, "memory_bytes": limits.memory_bytes, "seconds": limits.seconds}
    (folder / ASKED).write_text(json.dumps({**asked, **limited}), encoding="utf-8")
    process = subprocess.Popen(
        [sys.executable, "-m", "fieldapp.workflow.apart_work", str(folder.resolve())],
        cwd=Path(fieldapp.__file__).parents[1],
        env={**os.environ, "MALLOC_ARENA_MAX": "1", "GDAL_CACHEMAX": "64"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    started(process)
    try:
        process.wait(limits.seconds + SOONER_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
        raise FormatError(TOO_LONG.format(seconds=limits.seconds)) from None
    return _answer(folder, limits, process.returncode)


def _answer(folder: Path, limits: ApartLimits, code: int) -> dict[str, Any]:
    try:
        answer: dict[str, Any] = json.loads((folder / ANSWER).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        answer = {"refused": "time" if -code in _OUT_OF_TIME else "crash"}
    refused = answer.get("refused")
    if refused is None:
        return answer
    known = {
        "time": TOO_LONG.format(seconds=limits.seconds),
        "memory": TOO_MUCH.format(megabytes=limits.memory_bytes // 1_000_000),
        "crash": CRASHED,
    }
    raise FormatError(known.get(refused, refused))


_OUT_OF_TIME = (14, 24)
"""The signals that end a process whose time is over: the clock's, and the processor's."""
