"""The pictures of a site taken away in its backup, and brought back: what is held stays as it is."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime

from fieldapp.errors import ConflictError, FormatError
from fieldapp.formats.backup_pictures import BackedBackdrop, BackedPhoto, BackedPicture, BackedPictures
from fieldapp.formats.photo import LONGEST_SIDE, is_kept_picture
from fieldapp.formats.records import moment_text
from fieldapp.geodesy.picture_world import PictureWorld
from fieldapp.store.backdrops import (
    Backdrop,
    HeldBackdrop,
    add_backdrop,
    all_backdrops,
    backdrop_content,
    held_backdrop,
    take_off,
)
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.photos import Photo, add_photo, held_as, photo_content, photos_of


@dataclass(frozen=True)
class PicturesTaken:
    """How many photos and pictures to draw over came in, and how many stand here that the backup took off."""

    photos: int
    backdrops: int
    still_standing: int


def backed_pictures(store: Store, transaction: Transaction, site_id: str) -> BackedPictures:
    """Return all pictures of a site; the bytes of each are read from the store when they are asked for."""

    def content(picture: BackedPicture) -> bytes:
        read = photo_content if isinstance(picture, BackedPhoto) else backdrop_content
        with store.reading() as reading:
            return read(reading, site_id, picture.id) or b""

    return BackedPictures(
        tuple(_backed_photo(photo) for photo in photos_of(transaction, site_id)),
        tuple(_backed_backdrop(held) for held in all_backdrops(transaction, site_id)),
        content,
    )


def check_pictures(pictures: BackedPictures, longest_side: int) -> None:
    """Look at every picture of a backup, one at a time; raises FormatError.

    `longest_side`, in pixels, is that of pictures to draw over.
    """
    for picture in pictures.all:
        most = LONGEST_SIDE if isinstance(picture, BackedPhoto) else longest_side
        if max(picture.width, picture.height) > most:
            raise FormatError(
                f"{picture.file} in the zip has more than {most:,} pixels a side; FIELDAPP_BACKDROP_SIDE of the server "
                "sets how many a picture to draw over may have."
            )
        if not is_kept_picture(pictures.content(picture), picture.width, picture.height):
            raise FormatError(
                f"{picture.file} in the zip is not the picture that was kept; take the zip anew."
            )
    for backdrop in pictures.backdrops:
        if not PictureWorld(*backdrop.world).is_sound:
            raise FormatError(f"{backdrop.file} in the zip lies nowhere on the course; take the zip anew.")


def take_pictures(transaction: Transaction, site_id: str, pictures: BackedPictures) -> PicturesTaken:
    """Take in the pictures that are not held; raises ConflictError where one is held as another."""
    photos = sum(_take_photo(transaction, site_id, pictures, photo) for photo in pictures.photos)
    held = [_take_backdrop(transaction, site_id, pictures, backdrop) for backdrop in pictures.backdrops]
    still = [
        one is not None and one.gone_at is None and bool(backdrop.gone_at)
        for one, backdrop in zip(held, pictures.backdrops, strict=True)
    ]
    return PicturesTaken(photos, held.count(None), sum(still))


def _take_photo(transaction: Transaction, site_id: str, pictures: BackedPictures, photo: BackedPhoto) -> bool:
    held = held_as(transaction, photo.id)
    if held == (site_id, photo.sent_hash):
        return False
    if held is not None:
        raise _conflict(photo)
    new = Photo(
        **{**asdict(photo), "site_id": site_id, "received_at": datetime.fromisoformat(photo.received_at)}
    )
    add_photo(transaction, new, pictures.content(photo))
    return True


def _take_backdrop(
    transaction: Transaction, site_id: str, pictures: BackedPictures, backdrop: BackedBackdrop
) -> HeldBackdrop | None:
    """Take a picture in with whether it was taken off; return what is held of it instead."""
    new = Backdrop(
        id=backdrop.id,
        site_id=site_id,
        name=backdrop.name,
        media_type=backdrop.media_type,
        width=backdrop.width,
        height=backdrop.height,
        world=tuple(backdrop.world),
        fitted_by=backdrop.fitted_by,
        person=backdrop.person,
        made_at=datetime.fromisoformat(backdrop.made_at),
    )
    content = pictures.content(backdrop)
    held = held_backdrop(transaction, backdrop.id)
    if held is not None:
        if held.backdrop != new or backdrop_content(transaction, site_id, backdrop.id) != content:
            raise _conflict(backdrop)
        return held
    add_backdrop(transaction, new, content)
    if backdrop.gone_at:
        take_off(transaction, backdrop.id, backdrop.gone_by, datetime.fromisoformat(backdrop.gone_at))
    return None


def _conflict(picture: BackedPicture) -> ConflictError:
    return ConflictError(
        f"{picture.file} in the zip is held here as another picture, and what is held is never overwritten; take "
        "pictures.json out of the zip to load the rest."
    )


def _backed_photo(photo: Photo) -> BackedPhoto:
    about = {name: value for name, value in vars(photo).items() if name != "site_id"}
    return BackedPhoto(**{**about, "received_at": moment_text(photo.received_at)})


def _backed_backdrop(held: HeldBackdrop) -> BackedBackdrop:
    about = {name: value for name, value in vars(held.backdrop).items() if name != "site_id"}
    return BackedBackdrop(
        **{**about, "world": list(held.backdrop.world), "made_at": moment_text(held.backdrop.made_at)},
        gone_by=held.gone_by,
        gone_at=moment_text(held.gone_at) if held.gone_at else "",
    )
