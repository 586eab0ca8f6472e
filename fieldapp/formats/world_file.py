"""World files: six lines of one number beside a picture, in the order A, D, B, E, C, F (ESRI)."""

from __future__ import annotations

from fieldapp.errors import FormatError
from fieldapp.geodesy.picture_world import NO_PICTURE, PictureWorld

WORLD_ENDINGS = (".wld", ".jgw", ".jpgw", ".jpegw", ".pgw", ".pngw", ".tfw", ".tifw")
LONGEST = 2_000


def read_world_file(text: str) -> PictureWorld:
    """Read the six numbers; raises FormatError. A comma for the decimal point is read too."""
    rows = [
        row.strip().replace(",", ".")
        for row in text[:LONGEST].replace("\ufeff", "").split("\n")
        if row.strip()
    ]
    if len(rows) != 6:
        raise FormatError(
            f"The world file has {len(rows)} lines with something on them and must have six, one number each."
        )
    try:
        numbers = [float(row) for row in rows]
    except ValueError:
        wrong = next(row for row in rows if not _is_number(row))
        raise FormatError(f"The world file has '{wrong[:40]}' where a number must stand.") from None
    world = PictureWorld(*numbers)
    if not world.is_sound:
        raise FormatError(NO_PICTURE)
    return world


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
