"""The backup of a site: its folder, with its earlier versions, issued revisions, drafts and field record beside it.

`history.json` is {"format": "fieldapp-site-history", "version": 1, "versions": […], "issues": […], "drafts": […]},
`records.json` a batch of records as phones send them, with "came": [[when, by whose link, remarks], …] beside it,
`pictures.json` and the files it tells of are in `backup_pictures.py`. All may be missing: a zipped site folder is a
backup too.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, BinaryIO

from fieldapp.errors import FormatError
from fieldapp.formats.backup_pictures import (
    NO_PICTURES,
    PICTURES_FILE,
    BackedPictures,
    pictures_text,
    read_pictures,
)
from fieldapp.formats.backup_rows import backed_moment, read_document, read_rows, unreadable
from fieldapp.formats.backup_zip import ZipLimits, open_zip, write_zip
from fieldapp.formats.csv_lines import safe_text
from fieldapp.formats.records import SentRecord, batch, read_records_of_backup
from fieldapp.formats.site_folder import check_site_files, read_site_text, site_text
from fieldapp.formats.site_mistakes import SITE_FILE
from fieldapp.formats.site_writing import LEVELS_FILE, site_and_levels
from fieldapp.model import Site

HISTORY, HISTORY_VERSION = "fieldapp-site-history", 1
HISTORY_FILE, RECORDS_FILE, ISSUES_FILE, README_FILE = (
    "history.json",
    "records.json",
    "issues.csv",
    "README.txt",
)


@dataclass(frozen=True)
class BackedVersion:
    """A version of the site as it was loaded."""

    loaded_at: str
    loaded_from: str
    text: str


@dataclass(frozen=True)
class BackedIssue:
    """A revision that was issued; `version` counts the versions from 0."""

    bunker_id: str
    revision: str
    version: int
    came_from: str
    person: str
    why: str
    issued_at: str
    acknowledged: list[str]


@dataclass(frozen=True)
class BackedDraft:
    """A save of a draft."""

    bunker_id: str
    number: int
    state: str
    document: str
    person: str
    made_at: str


@dataclass(frozen=True)
class BackedRecord:
    """A field record, when it came here and by whose link, and what did not fit then."""

    sent: SentRecord
    received_at: datetime
    came_by: str
    remarks: str


@dataclass(frozen=True)
class SiteBackup:
    """A site and all that is kept of it. `versions`, oldest first, is empty for a plain site folder."""

    site: Site
    versions: tuple[BackedVersion, ...] = ()
    issues: tuple[BackedIssue, ...] = ()
    drafts: tuple[BackedDraft, ...] = ()
    records: tuple[BackedRecord, ...] = ()
    pictures: BackedPictures = NO_PICTURES

    @property
    def text(self) -> str:
        """The whole text of the site."""
        return site_text(self.site)


def write_backup_zip(backup: SiteBackup, file: BinaryIO) -> None:
    """Write a backup as a zip; the same backup gives the same bytes. One picture at a time is held in memory."""
    write_zip(file, _files(backup))


def _files(backup: SiteBackup) -> Iterator[tuple[str, bytes]]:
    yield from ((name, text.encode()) for name, text in _texts(backup).items())
    yield from ((picture.file, backup.pictures.content(picture)) for picture in backup.pictures.all)


def _texts(backup: SiteBackup) -> dict[str, str]:
    text, levels = site_and_levels(backup.site)
    files = {README_FILE: _readme(backup), SITE_FILE: text}
    if levels is not None:
        files[LEVELS_FILE] = levels
    history = {
        "format": HISTORY,
        "version": HISTORY_VERSION,
        "versions": list(map(asdict, backup.versions)),
        "issues": list(map(asdict, backup.issues)),
        "drafts": list(map(asdict, backup.drafts)),
    }
    records = {
        **batch([json.loads(record.sent.text) for record in backup.records]),
        "came": [
            [record.received_at.isoformat(), record.came_by, record.remarks] for record in backup.records
        ],
    }
    files[ISSUES_FILE] = _issues_csv(backup.issues)
    files[HISTORY_FILE] = json.dumps(history, ensure_ascii=False, indent=1)
    files[RECORDS_FILE] = json.dumps(records, ensure_ascii=False, indent=1)
    if backup.pictures.all:
        files[PICTURES_FILE] = pictures_text(backup.pictures)
    return files


def read_backup_zip(file: BinaryIO, limits: ZipLimits) -> SiteBackup:
    """Read a backup, or a zipped site folder; raises FormatError, SiteFolderError with every mistake of the site.

    Its pictures are read from the file when they are asked for.
    """
    opened = open_zip(file, limits)
    files = opened.texts()
    if SITE_FILE not in files:
        raise FormatError(f"The zip holds no {SITE_FILE}; choose the zip of a whole site folder.")
    beside = {name: content for name, content in files.items() if name != SITE_FILE}
    site = check_site_files(_text(files[SITE_FILE], SITE_FILE), beside)
    if HISTORY_FILE not in files:
        return SiteBackup(site)
    history = read_document(files[HISTORY_FILE], HISTORY_FILE)
    if (history.get("format"), history.get("version")) != (HISTORY, HISTORY_VERSION):
        raise FormatError(
            f"{HISTORY_FILE} in the zip is of another kind or version; take it out to load the site alone."
        )
    backup = SiteBackup(
        site,
        read_rows(history, "versions", BackedVersion, ("loaded_at",), HISTORY_FILE),
        read_rows(history, "issues", BackedIssue, ("issued_at",), HISTORY_FILE),
        read_rows(history, "drafts", BackedDraft, ("made_at",), HISTORY_FILE),
        _records(read_document(files[RECORDS_FILE], RECORDS_FILE)) if RECORDS_FILE in files else (),
        read_pictures(opened, files[PICTURES_FILE]) if PICTURES_FILE in files else NO_PICTURES,
    )
    _check_whole(backup)
    return backup


def _check_whole(backup: SiteBackup) -> None:
    if not backup.versions or read_site_text(backup.versions[-1].text) != backup.site:
        raise FormatError(
            f"{SITE_FILE} in the zip is not the site that {HISTORY_FILE} tells of, so somebody changed it; take "
            f"{HISTORY_FILE} and {RECORDS_FILE} out of the zip to load it as it is now."
        )
    if any(not 0 <= issue.version < len(backup.versions) for issue in backup.issues):
        raise unreadable(HISTORY_FILE)


def _records(document: dict[str, Any]) -> tuple[BackedRecord, ...]:
    came = document.get("came")
    sent = read_records_of_backup(document)
    if not isinstance(came, list) or len(came) != len(sent):
        raise unreadable(RECORDS_FILE)
    rows = []
    for item, row in zip(sent, came, strict=True):
        if not isinstance(row, list) or len(row) != 3 or not all(isinstance(one, str) for one in row):
            raise unreadable(RECORDS_FILE)
        rows.append(BackedRecord(item, backed_moment(row[0], RECORDS_FILE), row[1], row[2]))
    return tuple(rows)


def _text(content: bytes, name: str) -> str:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise FormatError(
            f"{name} in the zip is not text in UTF-8; save it as plain text and zip it again."
        ) from fault


def _issues_csv(issues: Sequence[BackedIssue]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    names = ("bunker_id", "revision", "issued_at", "person", "came_from", "why", "acknowledged")
    writer.writerow(names)
    for issue in issues:
        row = {**asdict(issue), "acknowledged": " | ".join(issue.acknowledged)}
        writer.writerow([safe_text(str(row[name])) for name in names])
    return out.getvalue()


def _readme(backup: SiteBackup) -> str:
    site = backup.site
    return f"""{site.name}: everything that fieldapp keeps of this site.

{SITE_FILE}      the site as it stands: units, grid, holes, tees, pegs, bunkers. Plain text, to read and to change.
{LEVELS_FILE}     its spot levels, where it has any.
{ISSUES_FILE}     the revisions of bunkers that were issued: which, when, by whom, why.
{HISTORY_FILE}   its earlier versions, those revisions and all drafts, for bringing the backup back.
{RECORDS_FILE}   the field record: every mark, check, peg and place as phones sent it.
{PICTURES_FILE}  what there is of photos taken at pegs and of pictures to draw over, with how these lie on the course;
               the pictures themselves are in the folders photos and backdrops. Missing where there are none.

To bring it back: open the list of sites, New site, and choose this zip under "From a backup". Where the site is not
there yet, all of it comes back. Where it is, records and pictures that are not there yet come in, and the site is
loaded as the next version if it has gone on from what stands there; nothing that is held there is lost or goes back.
A changed {SITE_FILE} is loaded alone: take {HISTORY_FILE} and {RECORDS_FILE} out of the zip first.

Buried services must be located before anyone digs. A drawing is not a detection.
"""
