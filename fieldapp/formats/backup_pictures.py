"""The pictures in a backup: photos taken at pegs and pictures to draw over, a file each, told of in `pictures.json`.

It is {"format": "fieldapp-site-pictures", "version": 1, "photos": […], "backdrops": […]}.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass

from fieldapp.errors import FormatError
from fieldapp.formats.backup_rows import backed_moment, read_document, read_rows, unreadable
from fieldapp.formats.backup_zip import PICTURE_ENDING, OpenedZip
from fieldapp.formats.json_fields import ID
from fieldapp.formats.photo import MEDIA_TYPE

PICTURES, PICTURES_VERSION = "fieldapp-site-pictures", 1
PICTURES_FILE = "pictures.json"
PHOTO_FOLDER, BACKDROP_FOLDER = "photos", "backdrops"


@dataclass(frozen=True)
class BackedPhoto:
    """A photo taken at a peg; sides in pixels, `sent_hash` is the SHA-256 (hex) of the bytes as the phone sent them."""

    id: str
    sent_hash: str
    media_type: str
    width: int
    height: int
    device: str
    received_at: str
    came_by: str

    @property
    def file(self) -> str:
        """Where it lies in the zip."""
        return f"{PHOTO_FOLDER}/{self.id}{PICTURE_ENDING}"


@dataclass(frozen=True)
class BackedBackdrop:
    """A picture to draw over; `gone_by` and `gone_at` say who took it off and when, empty where it stands."""

    id: str
    name: str
    media_type: str
    width: int
    height: int
    world: list[float]
    fitted_by: str
    person: str
    made_at: str
    gone_by: str
    gone_at: str

    @property
    def file(self) -> str:
        """Where it lies in the zip."""
        return f"{BACKDROP_FOLDER}/{self.id}{PICTURE_ENDING}"


BackedPicture = BackedPhoto | BackedBackdrop


def _no_picture(picture: BackedPicture) -> bytes:
    raise FormatError(f"There is no picture {picture.file} here.")


@dataclass(frozen=True)
class BackedPictures:
    """All pictures of a site; `content` gives the bytes of one, read when they are asked for."""

    photos: tuple[BackedPhoto, ...] = ()
    backdrops: tuple[BackedBackdrop, ...] = ()
    content: Callable[[BackedPicture], bytes] = _no_picture

    @property
    def all(self) -> tuple[BackedPicture, ...]:
        """Photos first."""
        return (*self.photos, *self.backdrops)


NO_PICTURES = BackedPictures()


def pictures_text(pictures: BackedPictures) -> str:
    """Return `pictures.json`."""
    document = {
        "format": PICTURES,
        "version": PICTURES_VERSION,
        "photos": list(map(asdict, pictures.photos)),
        "backdrops": list(map(asdict, pictures.backdrops)),
    }
    return json.dumps(document, ensure_ascii=False, indent=1)


def read_pictures(opened: OpenedZip, text: bytes) -> BackedPictures:
    """Read `pictures.json`; every picture that it tells of must be in the zip. Raises FormatError."""
    document = read_document(text, PICTURES_FILE)
    if (document.get("format"), document.get("version")) != (PICTURES, PICTURES_VERSION):
        raise FormatError(
            f"{PICTURES_FILE} in the zip is of another kind or version; take it out to load the rest."
        )
    found = BackedPictures(
        read_rows(document, "photos", BackedPhoto, ("received_at",), PICTURES_FILE),
        read_rows(document, "backdrops", BackedBackdrop, ("made_at",), PICTURES_FILE),
        lambda picture: opened.read(picture.file),
    )
    for picture in found.all:
        if not ID.fullmatch(picture.id) or picture.media_type != MEDIA_TYPE:
            raise unreadable(PICTURES_FILE)
        if picture.file not in opened:
            raise FormatError(
                f"The zip lacks {picture.file}; take the zip anew, or {PICTURES_FILE} out of it."
            )
    if len({picture.file for picture in found.all}) < len(found.all):
        raise unreadable(PICTURES_FILE)
    for backdrop in found.backdrops:
        if len(backdrop.world) != 6:
            raise unreadable(PICTURES_FILE)
        if backdrop.gone_at:
            backed_moment(backdrop.gone_at, PICTURES_FILE)
    return found
