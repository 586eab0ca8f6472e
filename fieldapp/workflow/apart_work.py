"""What is done in a process of its own: read a drawing, or draw a picture anew. Run as `-m`, with its folder."""

from __future__ import annotations

import json
import os
import re
import signal
import sys
from pathlib import Path
from typing import Any

from fieldapp.errors import FieldappError
from fieldapp.workflow.apart import ANSWER, ASKED

NICER = 10
"""Reading gives way to whoever asks the server for something."""
FILE, DRAWING, PICTURE = "file", "drawing.json", "picture.jpg"


def work(folder: Path) -> None:
    """Do what is asked in a folder, and leave the answer in it."""
    asked = json.loads((folder / ASKED).read_text(encoding="utf-8"))
    _limit(asked["memory_bytes"], asked["seconds"])
    try:
        answer = TASKS[asked["task"]](folder, asked)
    except FieldappError as fault:
        answer = {"refused": str(fault)}
    except (MemoryError, OSError) as fault:
        answer = {"refused": "memory" if _is_memory(fault) else "crash"}
    except Exception:
        answer = {"refused": "crash"}
    unfinished = folder / f"{ANSWER}.part"
    unfinished.write_text(json.dumps(answer | {"peak_bytes": _peak_bytes()}), encoding="utf-8")
    unfinished.replace(folder / ANSWER)


def _drawing(folder: Path, asked: dict[str, Any]) -> dict[str, Any]:
    from fieldapp.formats.drawing import DrawingLimits, read_drawing
    from fieldapp.formats.drawing_document import drawing_document

    limits = DrawingLimits(**asked["limits"])
    drawing = read_drawing(asked["name"], (folder / FILE).read_bytes(), limits)
    (folder / DRAWING).write_text(json.dumps(drawing_document(drawing)), encoding="utf-8")
    return {}


def _backdrop(folder: Path, asked: dict[str, Any]) -> dict[str, Any]:
    from fieldapp.formats.backdrop_image import read_backdrop

    read = read_backdrop((folder / FILE).read_bytes(), asked["most_pixels"], asked["longest_side"])
    (folder / PICTURE).write_bytes(read.content)
    return {
        "width": read.width,
        "height": read.height,
        "came_width": read.came_width,
        "came_height": read.came_height,
        "world": read.world,
        "system": read.system,
    }


TASKS = {"drawing": _drawing, "backdrop": _backdrop}


def _limit(memory_bytes: int, seconds: int) -> None:
    """Take no more memory and time than this, and give way to others, where the machine can be told so."""
    if sys.platform == "win32":
        return
    import resource

    os.nice(NICER)
    resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    signal.alarm(seconds)


def _is_memory(fault: BaseException) -> bool:
    return isinstance(fault, MemoryError) or getattr(fault, "errno", None) == 12


def _peak_bytes() -> int:
    """Return the most memory this process held, 0 where the machine does not say.

    What `getrusage` says would do elsewhere, but on Linux it counts what the process held that started this one.
    """
    try:
        told = Path("/proc/self/status").read_text(encoding="ascii")
    except OSError:
        return 0
    found = re.search(r"VmHWM:\s+(\d+) kB", told)
    return int(found[1]) * 1024 if found else 0


if __name__ == "__main__":
    work(Path(sys.argv[1]))
