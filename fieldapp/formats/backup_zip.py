"""A zip file that somebody hands in, opened with care: names, number and size are looked at before anything is kept."""

from __future__ import annotations

import stat
import zipfile
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import BinaryIO

from fieldapp.errors import FormatError

NO_DATE = (1980, 1, 1, 0, 0, 0)
ENCRYPTED = 0x1
PLAIN_WAYS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
LONGEST_NAME = 120
MOST_FOLDERS = 2
PICTURE_ENDING = ".jpg"
LARGEST_PICTURE = 60_000_000
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    RuntimeError,
    ValueError,
    NotImplementedError,
    IndexError,
)


@dataclass(frozen=True)
class ZipLimits:
    """How much a zip may hold: files, bytes once all are unpacked, and how many of these may be no pictures.

    Pictures are unpacked one at a time, all else at once.
    """

    most_files: int = 5_000
    most_unpacked: int = 1_000_000_000
    most_text: int = 100_000_000


class OpenedZip:
    """A zip that was looked at and lies within the limits; its file must stay open while it is read."""

    def __init__(self, archive: zipfile.ZipFile, entries: Mapping[str, zipfile.ZipInfo]) -> None:
        self._archive = archive
        self._entries = entries

    def __contains__(self, name: str) -> bool:
        return name in self._entries

    def read(self, name: str) -> bytes:
        """Return a file of it; raises FormatError where it is not as the zip says of it."""
        try:
            return self._archive.read(self._entries[name])
        except _BROKEN as fault:
            raise _no_zip() from fault

    def texts(self) -> dict[str, bytes]:
        """Return all files but pictures, by name."""
        return {name: self.read(name) for name in self._entries if not name.endswith(PICTURE_ENDING)}


def write_zip(file: BinaryIO, files: Iterable[tuple[str, bytes]]) -> None:
    """Write files as a zip, one at a time: the same bytes for the same files, in the order given."""
    with zipfile.ZipFile(file, "w") as archive:
        for name, content in files:
            entry = zipfile.ZipInfo(name, NO_DATE)
            entry.compress_type = (
                zipfile.ZIP_STORED if name.endswith(PICTURE_ENDING) else zipfile.ZIP_DEFLATED
            )
            entry.create_system, entry.external_attr = 3, (stat.S_IFREG | 0o644) << 16
            archive.writestr(entry, content)


def open_zip(file: BinaryIO, limits: ZipLimits) -> OpenedZip:
    """Look at a zip; its names are those without the one folder that may lie round all of its files.

    Raises FormatError for what is no zip, for names that lead out of it or stand twice, for anything that is no plain
    file, and for more than the limits. No more is ever unpacked than the sizes that are looked at here say.
    """
    try:
        archive = zipfile.ZipFile(file)
        entries = [entry for entry in archive.infolist() if not entry.is_dir()]
    except _BROKEN as fault:
        raise _no_zip() from fault
    _check(entries, limits)
    return OpenedZip(archive, _without_folder({entry.filename: entry for entry in entries}))


def _no_zip() -> FormatError:
    return FormatError("The file is no zip that can be read; choose the zip as it was downloaded.")


def _check(entries: list[zipfile.ZipInfo], limits: ZipLimits) -> None:
    if len(entries) > limits.most_files:
        raise FormatError(
            f"The zip holds {len(entries):,} files, and at most {limits.most_files:,} are taken; nothing was kept. "
            "FIELDAPP_BACKUP_FILES of the server sets how many."
        )
    names: set[str] = set()
    for entry in entries:
        shown = entry.filename[:60]
        mode = entry.external_attr >> 16
        if not _is_plain(entry.filename):
            raise FormatError(
                f"The zip holds a file named {shown!r}, which leads out of its folder or is a name "
                "that no site has; take it out."
            )
        if mode and stat.S_IFMT(mode) not in (0, stat.S_IFREG):
            raise FormatError(f"The zip holds {shown!r}, which is no plain file; take it out.")
        if entry.flag_bits & ENCRYPTED or entry.compress_type not in PLAIN_WAYS:
            raise FormatError(
                f"The file {shown!r} in the zip is locked or packed in an unusual way; zip it plainly."
            )
        if entry.filename in names:
            raise FormatError(f"The zip holds two files named {shown!r}; take one out.")
        names.add(entry.filename)
    _check_sizes(entries, limits)


def _check_sizes(entries: list[zipfile.ZipInfo], limits: ZipLimits) -> None:
    pictures = [entry.file_size for entry in entries if entry.filename.endswith(PICTURE_ENDING)]
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > limits.most_unpacked:
        raise _too_much("", limits.most_unpacked, "FIELDAPP_BACKUP_UNPACKED_MB")
    if unpacked - sum(pictures) > limits.most_text:
        raise _too_much(" without its pictures", limits.most_text, "FIELDAPP_BACKUP_TEXT_MB")
    if max(pictures, default=0) > LARGEST_PICTURE:
        raise FormatError(
            f"The zip holds a picture of more than {LARGEST_PICTURE // 1_000_000} MB, which no backup does; nothing "
            "was kept."
        )


def _too_much(what: str, most: int, setting: str) -> FormatError:
    return FormatError(
        f"Unpacked, the zip{what} comes to more than {most / 1e6:,.0f} MB; nothing was kept. {setting} of the server "
        "sets how much it may be."
    )


def _is_plain(name: str) -> bool:
    parts = name.split("/")
    return (
        len(name) <= LONGEST_NAME
        and len(parts) <= MOST_FOLDERS + 1
        and all(part and part.strip(". ") and part.isprintable() for part in parts)
        and not any(letter in name for letter in '\\:*?"<>|')
    )


def _without_folder(entries: dict[str, zipfile.ZipInfo]) -> dict[str, zipfile.ZipInfo]:
    folders = {name.split("/")[0] for name in entries if "/" in name}
    if len(folders) == 1 and all("/" in name for name in entries):
        return {name.split("/", 1)[1]: entry for name, entry in entries.items()}
    return entries
