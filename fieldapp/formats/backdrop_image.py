"""Pictures to draw over: bytes as they came in, a plain JPEG out, sized down. Nothing but the picture is kept."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from PIL import Image

from fieldapp.errors import FormatError
from fieldapp.formats.backdrop_geotiff import read_geotiff
from fieldapp.formats.photo import on_white

MEDIA_TYPE = "image/jpeg"
FORMATS = ("JPEG", "PNG")
TIFF_STARTS = (b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+")
QUALITY = 82
NO_PICTURE = "That is no picture that can be read; send a JPEG, a PNG or a GeoTIFF."


@dataclass(frozen=True)
class BackdropPicture:
    """A picture as JPEG, sides in pixels, with its size as it came.

    `world` are the six numbers of the picture as it came, in the order of a world file, and `system` the system they
    lead to, where the file itself says them.
    """

    content: bytes
    width: int
    height: int
    came_width: int
    came_height: int
    world: tuple[float, ...] | None = None
    system: str | None = None


def read_backdrop(content: bytes, most_pixels: int, longest_side: int) -> BackdropPicture:
    """Return the picture alone, at most `longest_side` pixels a side; raises FormatError.

    It is drawn anew, and not turned: a world file belongs to the picture as it lies in its file.
    """
    if content.startswith(TIFF_STARTS):
        tiff = read_geotiff(content, most_pixels, longest_side)
        world = tiff.world if tiff.world is not None and tiff.world.is_sound else None
        plain = Image.fromarray(tiff.picture, "RGB")
        return _drawn(plain, tiff.came, None if world is None else world.six, tiff.system)
    opened = _opened(content, most_pixels)
    came = opened.size
    try:
        opened.draft("RGB", (longest_side, longest_side))
        opened.thumbnail((longest_side, longest_side), reducing_gap=2.0)
        plain = on_white(opened)
    except MemoryError:
        raise
    except Exception as fault:  # a damaged file makes the decoders raise whatever they meet
        raise FormatError(NO_PICTURE) from fault
    return _drawn(plain, came, None, None)


def _opened(content: bytes, most_pixels: int) -> Image.Image:
    """Look at the head of a file only: what it claims to be, and how large."""
    Image.MAX_IMAGE_PIXELS = None  # the limit is this server's own
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            opened = Image.open(io.BytesIO(content), formats=FORMATS)
    except Exception as fault:
        raise FormatError(NO_PICTURE) from fault
    pixels = opened.width * opened.height
    if pixels > most_pixels:
        raise FormatError(
            f"That picture has {pixels / 1e6:,.0f} million pixels and at most {most_pixels / 1e6:,.0f} million are "
            "read; cut it to the hole, or save it smaller."
        )
    return opened


def _drawn(
    plain: Image.Image, came: tuple[int, int], world: tuple[float, ...] | None, system: str | None
) -> BackdropPicture:
    out = io.BytesIO()
    plain.save(out, "JPEG", quality=QUALITY, optimize=True)
    return BackdropPicture(out.getvalue(), plain.width, plain.height, *came, world=world, system=system)
