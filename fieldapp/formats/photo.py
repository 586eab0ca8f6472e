"""Photos: bytes as they came in, a plain picture out. Nothing but the picture itself is kept of one."""

from __future__ import annotations

import io
from dataclasses import dataclass
from threading import BoundedSemaphore

from PIL import Image, ImageOps

from fieldapp.errors import FormatError

KINDS = {"image/jpeg": "JPEG", "image/png": "PNG", "image/webp": "WEBP"}
"""What is taken in, with Pillow's name for it."""
MEDIA_TYPE = "image/jpeg"
LONGEST_SIDE = 1600
LONGEST_SIDE_SMALL = 480
MOST_PIXELS = 6_000_000
"""More than twice what our phones send; a file of a few bytes can claim far more and would fill the memory."""
AT_ONCE = 2
"""So many pictures are decoded at a time, whoever sends them; the others wait their turn. One takes some 120 MB."""
QUALITY = 85
_TURN = BoundedSemaphore(AT_ONCE)
BESIDE_A_PICTURE = frozenset(("exif", "comment", "xmp", "photoshop", "mp", "icc_profile"))
NO_PICTURE = "That is no picture that can be read; send a JPEG, PNG or WebP file."


@dataclass(frozen=True)
class Photo:
    """A picture as JPEG, upright, without anything that a camera or a phone wrote beside it; sides in pixels."""

    content: bytes
    width: int
    height: int


def read_photo(content: bytes) -> Photo:
    """Return the picture alone, at most 1,600 pixels a side; raises FormatError.

    It is drawn anew, so that no place, time, name, preview or comment stays, however it was written into the file.
    Which way up the camera was held is applied first.
    """
    with _TURN, _opened(content) as opened:
        return _drawn(opened, LONGEST_SIDE)


def small_photo(content: bytes) -> bytes:
    """Return a photo that was read before as a small JPEG, at most 480 pixels a side; raises FormatError."""
    with _TURN, _opened(content) as opened:
        return _drawn(opened, LONGEST_SIDE_SMALL).content


def is_kept_picture(content: bytes, width: int, height: int) -> bool:
    """Whether bytes are a picture as it is kept: a JPEG of these sides, pixels, with nothing written beside it."""
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG",)) as opened:
            return opened.size == (width, height) and not BESIDE_A_PICTURE & set(opened.info)
    except Exception:  # as below
        return False


def _opened(content: bytes) -> Image.Image:
    """Look at the head of a file only: what it claims to be, and how large."""
    try:
        opened = Image.open(io.BytesIO(content), formats=tuple(KINDS.values()))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as fault:
        raise _too_many_pixels() from fault
    except Exception as fault:  # a damaged file makes the decoders raise whatever they meet
        raise FormatError(NO_PICTURE) from fault
    if opened.width * opened.height > MOST_PIXELS:
        raise _too_many_pixels()
    return opened


def _too_many_pixels() -> FormatError:
    return FormatError(
        f"That picture has more than {MOST_PIXELS // 1_000_000} million pixels; send it at {LONGEST_SIDE} pixels "
        "a side or so."
    )


def _drawn(opened: Image.Image, longest_side: int) -> Photo:
    try:
        opened.thumbnail((longest_side, longest_side))
        plain = on_white(ImageOps.exif_transpose(opened))
    except Exception as fault:  # as above
        raise FormatError(NO_PICTURE) from fault
    out = io.BytesIO()
    plain.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Photo(out.getvalue(), plain.width, plain.height)


def on_white(picture: Image.Image) -> Image.Image:
    """Return a new picture of the same colours, and white where it shows through."""
    plain = Image.new("RGB", picture.size, "white")
    if picture.has_transparency_data:
        seen = picture.convert("RGBA")
        plain.paste(seen, mask=seen)
    else:
        plain.paste(picture.convert("RGB"))
    return plain
