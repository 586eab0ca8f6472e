"""Photos in the store: only ever added, each once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select

from fieldapp.formats.records import moment_text
from fieldapp.store.tables import PHOTO


@dataclass(frozen=True)
class Photo:
    """A photo without its picture; `sent_hash` is the SHA-256 (hex) of the bytes as they came."""

    id: str
    site_id: str
    sent_hash: str
    media_type: str
    width: int
    height: int
    device: str
    received_at: datetime
    came_by: str


def add_photo(connection: Connection, new: Photo, content: bytes) -> None:
    """Add a photo with its picture; its id must not be held yet."""
    values = {**vars(new), "received_at": moment_text(new.received_at), "content": content}
    connection.execute(insert(PHOTO).values(values))


def photos_of(connection: Connection, site_id: str) -> tuple[Photo, ...]:
    """Return the photos of a site without their pictures, oldest first."""
    columns = [column for column in PHOTO.c if column.name not in ("sequence", "content")]
    query = select(*columns).where(PHOTO.c.site_id == site_id).order_by(PHOTO.c.sequence)
    return tuple(
        Photo(**{**row._mapping, "received_at": datetime.fromisoformat(row.received_at)})
        for row in connection.execute(query)
    )


def held_as(connection: Connection, photo_id: str) -> tuple[str, str] | None:
    """Return the site and the hash (hex) a photo is held under; None where it is not held."""
    query = select(PHOTO.c.site_id, PHOTO.c.sent_hash).where(PHOTO.c.id == photo_id)
    row = connection.execute(query).one_or_none()
    return None if row is None else (row.site_id, row.sent_hash)


def photo_content(connection: Connection, site_id: str, photo_id: str) -> bytes | None:
    """Return the picture of a photo of a site; None where it is not held."""
    query = select(PHOTO.c.content).where(PHOTO.c.id == photo_id, PHOTO.c.site_id == site_id)
    return connection.execute(query).scalar()


def photo_ids(connection: Connection, site_id: str) -> frozenset[str]:
    """Return the ids of the photos held of a site."""
    return frozenset(connection.execute(select(PHOTO.c.id).where(PHOTO.c.site_id == site_id)).scalars())
