"""Backups of sites as the tests take and change them."""

from __future__ import annotations

import io
import zipfile

from fieldapp.formats.backup_zip import ZipLimits, write_zip
from fieldapp.formats.site_backup import read_backup_zip, write_backup_zip
from fieldapp.workflow.site_backup import backup_of


def taken_from(store, site_id: str) -> bytes:
    """The backup of a site."""
    file = io.BytesIO()
    write_backup_zip(backup_of(store, site_id), file)
    return file.getvalue()


def opened(content: bytes, limits: ZipLimits | None = None):
    """A backup as it is read from its zip."""
    return read_backup_zip(io.BytesIO(content), limits or ZipLimits())


def zipped(files: dict[str, str | bytes]) -> bytes:
    """Files as a zip."""
    file = io.BytesIO()
    write_zip(
        file, ((name, text.encode() if isinstance(text, str) else text) for name, text in files.items())
    )
    return file.getvalue()


def files_in(content: bytes) -> dict[str, bytes]:
    """All files of a zip by name."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}
