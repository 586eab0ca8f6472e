"""Folders for files that were sent and belong to nothing yet: made, told about, removed when they are old."""

from __future__ import annotations

import json
import secrets
import shutil
import time
from collections.abc import Collection
from pathlib import Path
from typing import Any

ABOUT = "about.json"
MOST_HELD = 50


class Spool:
    """Folders with random names under one. What is in one counts once it is told about; until then it is unfinished."""

    def __init__(self, folder: Path, hours: int) -> None:
        self._folder = folder
        self._hours = hours

    def new_id(self) -> str:
        """Return a name for a new folder."""
        return secrets.token_hex(12)

    def folder(self, name: str) -> Path:
        """Return the path of a folder."""
        return self._folder / name

    def make(self, name: str) -> Path:
        """Make a folder and return its path."""
        folder = self.folder(name)
        folder.mkdir(parents=True)
        return folder

    def tell(self, name: str, about: dict[str, Any]) -> None:
        """Write what is in a folder, all or nothing."""
        unfinished = self.folder(name) / f"{ABOUT}.part"
        unfinished.write_text(json.dumps(about), encoding="utf-8")
        unfinished.replace(self.folder(name) / ABOUT)

    def about(self, name: str) -> dict[str, Any] | None:
        """Return what is in a folder; None where it is not there or unfinished."""
        if not (name.isascii() and name.isalnum()):
            return None
        try:
            about: dict[str, Any] = json.loads((self.folder(name) / ABOUT).read_text(encoding="utf-8"))
        except OSError:
            return None
        return about

    def remove(self, name: str) -> None:
        """Remove a folder."""
        shutil.rmtree(self.folder(name), ignore_errors=True)

    def clear(self, busy: Collection[str]) -> None:
        """Remove what is too old, what nobody finished, and the oldest where very many are held; not what is busy."""
        if not self._folder.is_dir():
            return
        held = [(_changed(folder), folder) for folder in self._folder.iterdir() if folder.name not in busy]
        oldest = time.time() - self._hours * 3600
        for turn, (at, folder) in enumerate(sorted(held, reverse=True)):
            if at < oldest or turn >= MOST_HELD or not (folder / ABOUT).exists():
                shutil.rmtree(folder, ignore_errors=True)


def _changed(folder: Path) -> float:
    try:
        return folder.stat().st_mtime
    except OSError:
        return 0.0
