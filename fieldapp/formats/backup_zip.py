"""A zip file that somebody hands in, opened with care: names, number and size are looked at before anything is kept."""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass

from fieldapp.errors import FormatError

NO_DATE = (1980, 1, 1, 0, 0, 0)
ENCRYPTED = 0x1
PLAIN_WAYS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
LONGEST_NAME = 120
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
    """How much a zip may hold: files, and bytes once all are unpacked."""

    most_files: int = 500
    most_unpacked: int = 100_000_000


def zip_of(files: Mapping[str, bytes]) -> bytes:
    """Return files as a zip: the same bytes for the same files, in the order given."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, content in files.items():
            entry = zipfile.ZipInfo(name, NO_DATE)
            entry.compress_type, entry.create_system = zipfile.ZIP_DEFLATED, 3
            entry.external_attr = (stat.S_IFREG | 0o644) << 16
            archive.writestr(entry, content)
    return packed.getvalue()


def unzip(content: bytes, limits: ZipLimits) -> dict[str, bytes]:
    """Return the files of a zip by name, without the one folder that may lie round all of them.

    Raises FormatError for what is no zip, for names that lead out of it or stand twice, for anything that is no plain
    file, and for more than the limits, by what is really unpacked and not by what the zip says of itself.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            entries = [entry for entry in archive.infolist() if not entry.is_dir()]
            _check(entries, limits)
            files: dict[str, bytes] = {}
            left = limits.most_unpacked
            for entry in entries:
                files[entry.filename] = _content(archive, entry, left)
                left -= len(files[entry.filename])
    except _BROKEN as fault:
        raise FormatError(
            "The file is no zip that can be read; choose the zip as it was downloaded."
        ) from fault
    return _without_folder(files)


def _check(entries: list[zipfile.ZipInfo], limits: ZipLimits) -> None:
    if len(entries) > limits.most_files:
        raise FormatError(
            f"The zip holds {len(entries):,} files; a site's has at most {limits.most_files:,}."
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
    if sum(entry.file_size for entry in entries) > limits.most_unpacked:
        raise _too_much(limits.most_unpacked)


def _is_plain(name: str) -> bool:
    parts = name.split("/")
    return (
        len(name) <= LONGEST_NAME
        and len(parts) <= 2
        and all(part and part.strip(". ") and part.isprintable() for part in parts)
        and not any(letter in name for letter in '\\:*?"<>|')
    )


def _content(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, left: int) -> bytes:
    with archive.open(entry) as packed:
        content = packed.read(left + 1)
    if len(content) > left:
        raise _too_much(left)
    return content


def _too_much(most: int) -> FormatError:
    return FormatError(
        f"Unpacked the zip comes to more than {most // 1_000_000} MB, which no site does; nothing was kept."
    )


def _without_folder(files: dict[str, bytes]) -> dict[str, bytes]:
    folders = {name.split("/")[0] for name in files if "/" in name}
    if len(folders) == 1 and all("/" in name for name in files):
        return {name.split("/", 1)[1]: content for name, content in files.items()}
    return files
