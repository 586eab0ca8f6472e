"""Photos taken at pegs: take one in, once, and hand it out."""

from __future__ import annotations

import hashlib
from datetime import datetime

from fieldapp.errors import ConflictError, NotFoundError
from fieldapp.formats.json_fields import read_id
from fieldapp.formats.photo import MEDIA_TYPE, read_photo, small_photo
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.photos import Photo, add_photo, held_as, photo_content, photo_ids
from fieldapp.workflow.sites import standing_site

LARGEST = 8_000_000
"""Bytes; a phone of ours sends some 0.4 million."""


def take_in_photo(
    store: Store,
    site_id: str,
    photo_id: str,
    content: bytes,
    received_at: datetime,
    *,
    device: str = "",
    came_by: str = "",
) -> None:
    """Store a photo; once this returns it is on disk. One that was sent before is stored already.

    Raises NotFoundError, RecordError, FormatError, StoreError; ConflictError where other bytes came under its id.
    """
    standing_site(store, site_id)
    read_id({"photo": photo_id}, "photo")
    sent_hash = hashlib.sha256(content).hexdigest()
    with store.reading() as connection:
        if _is_held(connection, site_id, photo_id, sent_hash):
            return
    photo = read_photo(content)
    with store.writing() as connection:
        if _is_held(connection, site_id, photo_id, sent_hash):
            return
        new = Photo(
            id=photo_id,
            site_id=site_id,
            sent_hash=sent_hash,
            media_type=MEDIA_TYPE,
            width=photo.width,
            height=photo.height,
            device=device,
            received_at=received_at,
            came_by=came_by,
        )
        add_photo(connection, new, photo.content)


def _is_held(connection: Transaction, site_id: str, photo_id: str, sent_hash: str) -> bool:
    held = held_as(connection, photo_id)
    if held is None or held == (site_id, sent_hash):
        return held is not None
    raise ConflictError(
        f"Photo '{photo_id}' is held already and is another one; a photo's id may be used once only."
    )


def photo_of(store: Store, site_id: str, photo_id: str, small: bool) -> bytes:
    """Return a photo of a site as JPEG, or a small one; raises NotFoundError, StoreError."""
    with store.reading() as connection:
        content = photo_content(connection, site_id, photo_id)
    if content is None:
        raise NotFoundError(f"There is no photo '{photo_id}' here; it may still be on its phone.")
    return small_photo(content) if small else content


def photos_held(store: Store, site_id: str) -> frozenset[str]:
    """Return the ids of the photos that are held of a site; raises StoreError."""
    with store.reading() as connection:
        return photo_ids(connection, site_id)
