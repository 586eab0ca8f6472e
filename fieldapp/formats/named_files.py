"""The files beside site.toml that it names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from fieldapp.formats.outline_files import Fault
from fieldapp.formats.site_mistakes import SITE_FILE, did_you_mean, shown
from fieldapp.formats.site_table import Table

Files = Mapping[str, bytes]


class FolderFiles(Mapping[str, bytes]):
    """The files of a folder by name; nothing outside it, and each read only when asked for."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def __getitem__(self, name: str) -> bytes:
        if name not in set(self):
            raise KeyError(name)
        return (self._folder / name).read_bytes()

    def __iter__(self) -> Iterator[str]:
        return (
            file.name for file in sorted(self._folder.iterdir()) if file.is_file() and file.name != SITE_FILE
        )

    def __len__(self) -> int:
        return sum(1 for _ in self)


def file_named(table: Table, key: str, name: str, endings: Sequence[str], files: Files) -> bytes | None:
    """Return the content of a file that a key names; None, and noted, if there is none to read."""
    if not name.lower().endswith(tuple(endings)):
        table.fail(key, f"the name {shown(name)} ends in none of {', '.join(endings)}", "name such a file")
        return None
    try:
        return files[name]
    except KeyError:
        meant = did_you_mean(name, files)
        remedy = f"did you mean '{meant}'?" if meant else "put it there or correct the name"
        table.fail(key, f"there is no file {shown(name)} in this folder", remedy)
    except OSError as error:
        table.fail(key, f"the file {shown(name)} cannot be read ({error.strerror})", "make it readable")
    return None


def note_file_faults(table: Table, key: str, name: str, faults: Iterable[Fault]) -> None:
    """Note what is wrong in a file that a key names."""
    for fault in faults:
        table.failed = True
        where = f"{name} {fault.where}".rstrip()
        table.findings.add_in_file((*table.path, key), where, fault.what, fault.remedy)
