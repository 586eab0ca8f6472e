"""Pictures as phones' cameras write them, for every test that needs some."""

from __future__ import annotations

import io
from functools import cache

from PIL import Image, ImageDraw

PLACE = (57.0, 12.0, 6.48), (9.0, 23.0, 56.04)
"""Degrees, minutes, seconds, invented."""
TURNED = 6
"""The camera was held upright: the picture is to be turned a quarter to the right."""
MAKER = "Invented Cameras"
COMMENT = b"taken at 57 12 06 N"
GPS, LATITUDE, LONGITUDE, MAKE, DESCRIPTION, ORIENTATION = 0x8825, 2, 4, 0x010F, 0x010E, 0x0112


@cache
def jpeg_photo(width: int = 320, height: int = 240, number: int = 0) -> bytes:
    """A JPEG with all that may give somebody away: its place, its maker, a comment; sky at the camera's left side.

    Another number is another picture.
    """
    picture = Image.new("RGB", (width, height), (80, 130 + number % 50, 70))
    ImageDraw.Draw(picture).rectangle((0, 0, width // 4, height), fill=(150, 190, 230))
    exif = picture.getexif()
    exif[MAKE], exif[DESCRIPTION], exif[ORIENTATION] = MAKER, "peg r4a", TURNED
    place = exif.get_ifd(GPS)
    place[1], place[LATITUDE], place[3], place[LONGITUDE] = "N", PLACE[0], "W", PLACE[1]
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif, comment=COMMENT, quality=92)
    return out.getvalue()


def told_beside(content: bytes) -> list[str]:
    """What a JPEG's segments hold beside the picture, by their markers: 'APP1', 'COM', ...; read by hand."""
    found, at = [], 2
    while content[at] == 0xFF and content[at + 1] != 0xDA:
        marker, length = content[at + 1], int.from_bytes(content[at + 2 : at + 4], "big")
        if 0xE0 <= marker <= 0xEF and not (marker == 0xE0 and content[at + 4 : at + 8] == b"JFIF"):
            found.append(f"APP{marker - 0xE0}")
        if marker == 0xFE:
            found.append("COM")
        at += 2 + length
    return found
