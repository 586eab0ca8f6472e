"""The step between the receiver's datum and the grid's: how good PROJ's operation is, and what it lacks.

PROJ falls back without a word to a worse operation where a grid file is missing, and to one that ignores the
datums altogether ("ballpark") where it knows none; neither may pass unseen here.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
from pyproj import CRS, Transformer
from pyproj.aoi import AreaOfInterest
from pyproj.transformer import TransformerGroup

from fieldapp.errors import GridError, GridFileMissing
from fieldapp.model import ProjectedGrid

_HALF_BOX_DEG = 0.01
_MOVES_UNITS = 0.001


@dataclass(frozen=True)
class DatumStep:
    """PROJ's operation at one place; `accuracy_m` is its published accuracy, None if there is none."""

    accuracy_m: float | None
    ballpark: bool
    missing_files: tuple[str, ...]


def datum_step(
    gnss: CRS, crs: CRS, transformer: Transformer, lonlat: tuple[float, float], *, exact_place: bool
) -> DatumStep:
    """Return what PROJ does at a place, and which grid files a better operation would need.

    Unless the place is exactly that of the site, files wanted anywhere in the system's area of use count.
    Raises GridError where nothing can be transformed there.
    """
    if not np.isfinite(transformer.transform(*lonlat)).all():
        raise GridError(f"PROJ cannot bring positions into '{crs.name}'; check the crs of the course grid.")
    used = operation_used(transformer)
    accuracy = None if used.accuracy < 0 else float(used.accuracy)
    return DatumStep(
        accuracy_m=accuracy,
        ballpark=is_ballpark(used),
        missing_files=_missing_files(gnss, crs, lonlat if exact_place else None, accuracy),
    )


def operation_used(transformer: Transformer) -> Transformer:
    """Return the operation of the last transformation: PROJ keeps several and chooses by place."""
    if transformer.description.startswith("unavailable"):
        return transformer.get_last_used_operation()
    return transformer


def is_ballpark(operation: Transformer) -> bool:
    """Tell whether an operation ignores a difference between datums, of position or of height."""
    return "ballpark" in operation.description.lower()


def _missing_files(
    gnss: CRS, crs: CRS, lonlat: tuple[float, float] | None, accuracy_m: float | None
) -> tuple[str, ...]:
    box: Any = None
    if lonlat is not None:
        lon, lat = lonlat
        box = AreaOfInterest(
            lon - _HALF_BOX_DEG, lat - _HALF_BOX_DEG, lon + _HALF_BOX_DEG, lat + _HALF_BOX_DEG
        )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        group = TransformerGroup(gnss, crs, always_xy=True, area_of_interest=box)
    wanting = [operation for operation in group.unavailable_operations if operation.accuracy >= 0]
    best = min(wanting, key=lambda operation: operation.accuracy, default=None)
    if best is None or (group.best_available and accuracy_m is not None and best.accuracy >= accuracy_m):
        return ()
    return tuple(grid.short_name for grid in best.grids if not grid.available)


def check_step(definition: ProjectedGrid, step: DatumStep) -> None:
    """Raise GridFileMissing or GridError unless the operation is good enough for the definition."""
    pair = f"from {definition.gnss_crs} to '{definition.crs}'"
    if step.missing_files and not _accepted(definition, step):
        raise GridFileMissing(_missing_words(pair, step), step.accuracy_m)
    if step.ballpark:
        raise GridError(
            f"PROJ knows no transformation {pair} and would ignore the difference between their datums, "
            "which may be a hundred metres or more; name a system with a known datum (in a PROJ string "
            "+datum=WGS84 or +towgs84=)."
        )
    accept = definition.accept_error_m
    if accept is not None and (step.accuracy_m is None or step.accuracy_m > accept):
        known = "unknown" if step.accuracy_m is None else f"about {step.accuracy_m:g} m"
        raise GridError(
            f"The published error of the best transformation {pair} is {known}, and accept_error_m is "
            f"{accept:g}; raise accept_error_m, or give the gnss_crs in which the receiver is corrected."
        )


def _accepted(definition: ProjectedGrid, step: DatumStep) -> bool:
    accept = definition.accept_error_m
    return (
        not step.ballpark and accept is not None and step.accuracy_m is not None and step.accuracy_m <= accept
    )


def _missing_words(pair: str, step: DatumStep) -> str:
    files = " and ".join(step.missing_files)
    each, name = ("each ", "NAME") if len(step.missing_files) > 1 else ("", step.missing_files[0])
    fetch = f"fetch {each}with 'pyproj sync --file {name}'"
    what = f"The best transformation {pair} needs what is not on this machine: {files}"
    if step.ballpark or step.accuracy_m is None:
        return f"{what}; the error without is unknown and may be a hundred metres or more, so {fetch}."
    return (
        f"{what}; without, every position may be wrong by about {step.accuracy_m:g} m, so {fetch}, or write "
        f"accept_error_m = {step.accuracy_m:g} to accept that error."
    )


def check_epoch(
    definition: ProjectedGrid, gnss: CRS, transformer: Transformer, lonlat: tuple[float, float]
) -> None:
    """Raise GridError where an epoch is given that PROJ would not heed, or one is needed and not given."""
    moves = _moves(transformer, lonlat)
    if definition.epoch is None:
        if moves:
            raise GridError(
                f"Positions in '{gnss.name}' move with the years against '{definition.crs}'; write epoch = "
                "the decimal year of the positions, for example epoch = 2026.9."
            )
        return
    if not 1980 <= definition.epoch <= 2100:
        raise GridError(f"The epoch {definition.epoch} is no decimal year; write for example epoch = 2026.9.")
    if moves:
        return
    why = f"PROJ applies no movement from '{gnss.name}' to '{definition.crs}'"
    if gnss.datum is not None and gnss.datum.type_name == "Datum Ensemble":
        why = f"'{gnss.name}' stands for several frames at once, so PROJ would not heed it"
    raise GridError(
        f"An epoch ({definition.epoch:g}) is given, but {why}; leave the epoch out, or name in gnss_crs the "
        "dated frame of the corrections, for example EPSG:9000 (ITRF2014)."
    )


def _moves(transformer: Transformer, lonlat: tuple[float, float]) -> bool:
    """Tell whether the operation heeds the epoch: the same position of two epochs comes out in two places."""
    earlier, later = (transformer.transform(*lonlat, 0.0, epoch)[:2] for epoch in (2010.0, 2030.0))
    return bool(np.max(np.abs(np.subtract(later, earlier))) > _MOVES_UNITS)
