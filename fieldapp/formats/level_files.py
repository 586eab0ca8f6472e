"""Spot levels as a person gives them: a list in site.toml or a CSV file. Course coordinates, one level at a place."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import numpy as np
import shapely

from fieldapp.formats.lengths import to_metres
from fieldapp.formats.outline_files import Fault, UnreadableError, by_line, csv_rows, decoded, first_fault
from fieldapp.formats.site_mistakes import shown
from fieldapp.model import SpotLevel

SAME_PLACE_M = 0.05
"""Two levels closer together than this are levels of one place: nobody holds a staff closer. A choice."""
AGREE_M = 0.02
"""Levels of one place may differ by this much, as two readings of a level do, and the first counts. A choice."""

ROUNDING_M = 1e-9


Placed = list[tuple[int, SpotLevel]]
"""Levels, each with its place: its number in a list, from 0, or its line in a file."""


def levels_of(values: Sequence[Any], factor: Fraction) -> tuple[Placed, list[Fault]]:
    """Read spot levels `[x, y, level]`, all in units of `factor` metres; a level given again counts once."""
    return _levels(values, factor, [f"spot level {number}" for number in range(1, len(values) + 1)])


def read_levels_file(content: bytes, factor: Fraction) -> tuple[Placed, list[Fault]]:
    """Read spot levels from a CSV file with the columns x, y and level; a level given again counts once."""
    try:
        rows, lines, faults = csv_rows(decoded(content), ("x", "y", "level"), ())
    except UnreadableError as refusal:
        return [], [refusal.fault]
    if not rows and not faults:
        what = "the file names its columns and has no level below them"
        return [], [Fault(what, "add a line for each level, or take spot_levels out of site.toml")]
    levels, more = _levels(rows, factor, [f"line {line}" for line in lines])
    return [(lines[index], level) for index, level in levels], by_line(faults, more, lines)


def _levels(values: Sequence[Any], factor: Fraction, names: Sequence[str]) -> tuple[Placed, list[Fault]]:
    """Read levels; `names` says where each value stands, for a mistake that speaks of two."""
    levels, faults = {}, []
    for index, value in enumerate(values):
        wrong = not isinstance(value, list) or len(value) != 3
        fault = (f"it is {shown(value)}", "write it as [x, y, level]") if wrong else first_fault(value)
        if fault:
            faults.append(Fault(*fault, index=index))
        else:
            levels[index] = SpotLevel(*(to_metres(number, factor) for number in value))
    again = _given_again(levels)
    for index, first in again.items():
        if abs(levels[index].level_m - levels[first].level_m) > AGREE_M + ROUNDING_M:
            faults.append(_disagreement(index, values[index][2], values[first][2], names[first]))
    kept = [(index, level) for index, level in levels.items() if index not in again]
    return kept, sorted(faults, key=lambda fault: fault.index or 0)


def _given_again(levels: dict[int, SpotLevel]) -> dict[int, int]:
    """Return the index of each level at whose place there is one before, with the index of the first of them."""
    indices = list(levels)
    places = shapely.points(np.array([(level.x, level.y) for level in levels.values()]).reshape(-1, 2))
    pairs = shapely.STRtree(places).query(places, predicate="dwithin", distance=SAME_PLACE_M + ROUNDING_M)
    again: dict[int, int] = {}
    for later, earlier in sorted(zip(*pairs.tolist(), strict=True)):
        if earlier < later and indices[earlier] not in again:
            again.setdefault(indices[later], indices[earlier])
    return again


def _disagreement(index: int, level: object, first: object, named: str) -> Fault:
    return Fault(
        f"the level is {level} and at the same place it is {first} in {named}",
        "keep the one that is right and take the other out",
        index=index,
    )
