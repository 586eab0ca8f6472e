"""Published transformations between coordinate systems, and between epochs of one that moves."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError

from fieldapp.errors import GridError
from fieldapp.geodesy.datum_step import is_ballpark, operation_used

Floats = NDArray[np.float64]


def transform(source_crs: str, target_crs: str, coordinates: ArrayLike, epoch: float | None = None) -> Floats:
    """Transform coordinates `(..., 2 or 3)`, always east or longitude first, each system in its own units.

    `epoch` is the decimal year of the coordinates. Raises GridError for an unknown system, for what PROJ
    cannot transform, and where PROJ would ignore the difference between the datums ("ballpark") without a
    word.
    """
    given = np.asarray(coordinates, dtype=float)
    columns = [column.copy() for column in np.moveaxis(given, -1, 0)]
    if epoch is not None:
        height = columns[2:] or [np.zeros_like(columns[0])]
        columns = [*columns[:2], *height, np.full_like(columns[0], epoch)]
    operation = _operation(source_crs, target_crs)
    answer = np.stack(operation.transform(*columns)[: given.shape[-1]], axis=-1)
    if not np.isfinite(answer).all():
        raise GridError(f"A coordinate cannot be brought from {source_crs} to {target_crs}; check it.")
    if is_ballpark(operation_used(operation)):
        raise GridError(
            f"PROJ knows no transformation from {source_crs} to {target_crs} here and would ignore the "
            "difference between their datums; take another pair of systems."
        )
    return answer


@lru_cache(maxsize=64)
def _operation(source_crs: str, target_crs: str) -> Transformer:
    try:
        return Transformer.from_crs(CRS(source_crs), CRS(target_crs), always_xy=True)
    except (CRSError, ProjError) as error:
        raise GridError(
            f"There is no transformation from '{source_crs}' to '{target_crs}'; check both codes."
        ) from error
