"""What the course grid of a site being made is worth, in words: how far off the earth it may lie as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal

from fieldapp.geodesy.course_grid import CourseGrid
from fieldapp.model import FittedGrid, LocalGrid
from fieldapp.server.site_typing import SiteGround, place_words

SAME_PLACE_DEG = 2e-9
ONLY_TOGETHER = (
    "Tape, pegs and yardages on the course are not touched by that: it is how far everything that phones lead to may "
    "lie off "
    "together."
)


def grid_worth(ground: SiteGround) -> tuple[str, ...]:
    """Return sentences about the grid as it stands: what it rests on, and how far off it may be, 95 times in 100."""
    grid = ground.grid
    if grid is None:
        return (ground.grid_fault,) if "kind" in ground.tables.get("grid", {}) else ()
    if isinstance(grid.definition, LocalGrid):
        return tuple(_local_words(ground, grid.definition))
    return tuple(_fitted_words(ground, grid)) if isinstance(grid.definition, FittedGrid) else grid.notes


def _local_words(ground: SiteGround, local: LocalGrid) -> Iterator[str]:
    for place in reversed(ground.places):
        away = (
            abs(place.reading.lat_deg - local.origin_lat_deg),
            abs(place.reading.lon_deg - local.origin_lon_deg),
        )
        if max(away) <= SAME_PLACE_DEG and place.reading.radius95_m is not None:
            yield (
                f"The grid hangs on a reading: {place_words(place)}. So the whole grid lies within "
                f"{_up(place.reading.radius95_m)} m of where it should, 95 times in 100. {ONLY_TOGETHER}"
            )
            return


def _fitted_words(ground: SiteGround, grid: CourseGrid) -> Iterator[str]:
    fit = grid.fit
    if fit is None:
        return
    yield f"Fitted to {len(fit.peg_ids)} pegs, which disagree by {fit.rms_m:.2f} m (root mean square)."
    middle = fit.within95_m(fit.middle_xy)
    if middle is None:
        yield "Nothing checks this fit, so nobody can say what the grid is worth: give a third peg both places."
    else:
        greens = [(hole.green_x, hole.green_y) for hole in ground.reading.site.holes]
        far = max((fit.within95_m(green) or middle for green in greens), default=middle)
        at_greens = f", and within {_up(far)} m at every green" if greens else ""
        yield (
            f"By that the grid lies within {_up(middle)} m of the earth amid the pegs{at_greens}, 95 times in 100. "
            f"{ONLY_TOGETHER}"
        )
    yield from grid.notes


def _up(length_m: float) -> str:
    return str(Decimal(length_m).quantize(Decimal("0.01" if length_m < 1 else "0.1"), ROUND_CEILING))
