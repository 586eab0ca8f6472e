"""Files packed in a zip, unpacked within limits, whatever the zip says of its own sizes."""

from __future__ import annotations

import io
import lzma
import struct
import zipfile
import zlib
from collections.abc import Iterable

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import DrawingLimits

LEAST_PACKED = 1_024
"""The ratio of a member is not asked of fewer packed bytes than this."""
BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    struct.error,
    EOFError,
    OSError,
    ValueError,
    RuntimeError,
)


def unpacked(content: bytes, endings: Iterable[str], limits: DrawingLimits) -> dict[str, bytes]:
    """Return the members whose names end so, by name, unpacked; raises FormatError over a limit."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            members = archive.infolist()
            if len(members) > limits.most_members:
                raise FormatError(
                    f"The zip holds more than {limits.most_members} files; pack only what is needed."
                )
            wanted = [member for member in members if member.filename.lower().endswith(tuple(endings))]
            return _read(archive, wanted, limits)
    except BROKEN as fault:
        raise FormatError("The zip is broken, or packed in a way that is not read; pack it anew.") from fault


def _read(
    archive: zipfile.ZipFile, members: list[zipfile.ZipInfo], limits: DrawingLimits
) -> dict[str, bytes]:
    left, found = limits.most_unpacked_bytes, {}
    for member in members:
        if member.flag_bits & 1:
            raise FormatError("The zip is locked with a password; pack it without.")
        most = min(left, int(limits.most_ratio * max(member.compress_size, LEAST_PACKED)))
        with archive.open(member) as packed:
            found[member.filename] = packed.read(most + 1)
        if len(found[member.filename]) > most:
            raise FormatError(
                f"Unpacked it is larger than {limits.most_unpacked_bytes / 1e6:,.1f} MB, or "
                f"{limits.most_ratio:g} times what it is packed; such zips are not read."
            )
        left -= len(found[member.filename])
    return found


def names_in(content: bytes) -> list[str]:
    """Return the names of the members of a zip; raises FormatError."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return archive.namelist()
    except BROKEN as fault:
        raise FormatError("The zip is broken; pack it anew.") from fault
