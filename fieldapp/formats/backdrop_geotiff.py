"""GeoTIFFs as backdrops, through rasterio, which is an extra that need not be installed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import FormatError
from fieldapp.geodesy.known_system import known_system
from fieldapp.geodesy.picture_world import PictureWorld

NOT_INSTALLED = (
    "A GeoTIFF is read by rasterio, which is not installed here: install it with pip install 'fieldapp[geotiff]', or "
    "send the picture as JPEG or PNG with its world file."
)
NO_TIFF = (
    "This TIFF cannot be read; send it as a GeoTIFF of one or three bands, or as JPEG with a world file."
)


@dataclass(frozen=True)
class GeoTiff:
    """A picture `(height, width, 3)` of bytes, sized down; its size as it came, where it lies, and in which system.

    `system` is "EPSG:n", "lonlat", or None where it does not say; `world` is for the picture as it came.
    """

    picture: NDArray[np.uint8]
    came: tuple[int, int]
    world: PictureWorld | None
    system: str | None


def read_geotiff(content: bytes, most_pixels: int, longest_side: int) -> GeoTiff:
    """Read a GeoTIFF; raises FormatError in words, also where rasterio is not installed."""
    try:
        import rasterio
        from rasterio.errors import NotGeoreferencedWarning, RasterioError
        from rasterio.io import MemoryFile
    except ImportError:
        raise FormatError(NOT_INSTALLED) from None
    import warnings

    try:
        with warnings.catch_warnings(), rasterio.Env(GDAL_NUM_THREADS="1"):
            warnings.simplefilter("ignore", NotGeoreferencedWarning)
            with MemoryFile(content) as file, file.open(driver="GTiff") as opened:
                return _read(opened, most_pixels, longest_side)
    except RasterioError as fault:
        raise FormatError(NO_TIFF) from fault


def _read(opened: object, most_pixels: int, longest_side: int) -> GeoTiff:
    width, height = opened.width, opened.height  # type: ignore[attr-defined]
    if width * height > most_pixels:
        raise FormatError(
            f"That picture has {width * height / 1e6:,.0f} million pixels and at most {most_pixels / 1e6:,.0f} million "
            "are read; cut it to the hole, or save it smaller."
        )
    share = min(1.0, longest_side / max(width, height))
    size = (max(1, round(height * share)), max(1, round(width * share)))
    bands = [1, 2, 3] if opened.count >= 3 else [1]  # type: ignore[attr-defined]
    read = opened.read(bands, out_shape=(len(bands), *size))  # type: ignore[attr-defined]
    picture = np.moveaxis(_bytes(read) if len(bands) == 3 else np.repeat(_bytes(read), 3, axis=0), 0, -1)
    t = opened.transform  # type: ignore[attr-defined]
    corner = PictureWorld(t.a, t.d, t.b, t.e, t.c, t.f)
    c, f = corner.apply((0.5, 0.5))
    world = None if t.is_identity else PictureWorld(t.a, t.d, t.b, t.e, float(c), float(f))
    return GeoTiff(np.ascontiguousarray(picture), (width, height), world, _system(opened.crs))  # type: ignore[attr-defined]


def _bytes(read: NDArray[np.generic]) -> NDArray[np.uint8]:
    """Return bands as bytes; deeper ones are stretched from their second to their 98th percentile."""
    if read.dtype == np.uint8:
        return read.astype(np.uint8)
    sound = np.nan_to_num(read.astype(float))
    low, high = np.percentile(sound, (2, 98))
    return np.asarray(np.clip((sound - low) / max(high - low, 1e-9) * 255, 0, 255), dtype=np.uint8)


def _system(crs: object) -> str | None:
    known = known_system(crs.to_wkt()) if crs else None  # type: ignore[attr-defined]
    if known is None:
        return None
    return "lonlat" if known.is_lonlat else known.code
