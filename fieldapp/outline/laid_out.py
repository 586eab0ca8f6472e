"""A bunker laid out on the course grid: its curves, their paint points, its middle and the play there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from fieldapp.errors import OutlineError
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import Bunker, Hole, Outline, PartName, Site, Tee
from fieldapp.outline.curve import Curve
from fieldapp.outline.paint_points import PaintPoints, paint_points
from fieldapp.outline.place import outline_curves, own_frame
from fieldapp.play.line_of_play import line_of_play

TRACE_SAGITTA_M = 0.0002
"""How far the drawn trace of an outline may leave the true curve, metres."""


@dataclass(frozen=True)
class LaidOutOutline:
    """One outline in course coordinates with its numbered paint points (index 0 is number 1)."""

    id: str
    part: PartName
    curve: Curve
    points: PaintPoints

    def trace(self) -> NDArray[np.float64]:
        """Return the curve as a chain of vertices `(M, 2)` from paint point 1 onward, within 0.2 mm of it."""
        return self.curve.trace(TRACE_SAGITTA_M, self.points.start_m)


@dataclass(frozen=True)
class LaidOutBunker:
    """A bunker in course coordinates.

    `middle` is the bunker's own centre where it is placed by play, else the centroid of its sand edge;
    `play_bearing_deg` is the course bearing of play there: where it is placed on its tee's line of play, else on
    the line of the hole's first tee.
    """

    bunker: Bunker
    outlines: tuple[LaidOutOutline, ...]
    middle: tuple[float, float]
    play_bearing_deg: float

    @property
    def sand(self) -> LaidOutOutline:
        """The outline the bunker is measured by: its first sand edge, or its first outline where it has none."""
        return next((outline for outline in self.outlines if outline.part == "sand edge"), self.outlines[0])

    def called(self, outline_id: str) -> str:
        """Name an outline by its part, and by its id too where the bunker has more of that part."""
        return self.bunker.called(self.bunker.outline(outline_id))


def sands_words(outlines: Sequence[Outline]) -> str:
    """Say of a bunker of several sand edges that it is measured by the first alone; of others nothing."""
    sands = [outline.id for outline in outlines if outline.part == "sand edge"]
    if len(sands) < 2:
        return ""
    count, others = (
        ("two", "the other a bunker of its own, or another part")
        if len(sands) == 2
        else (f"{len(sands)}", "the others bunkers of their own, or other parts")
    )
    measured = f"reach, carry, area and middle are of the first, '{sands[0]}', alone"
    return f"It has {count} sand edges; {measured}. Make {others}."


def hole_scale(grid: CourseGrid, hole: Hole) -> float:
    """Return the ground metres per course metre that a whole hole is worked with: that at its green."""
    return float(grid.ground_scale_at(np.array([hole.green_x, hole.green_y])))


def first_tee(site: Site, hole: Hole) -> Tee:
    """Return the hole's first tee; raises OutlineError when the hole has none."""
    tees = site.tees_of(hole.number)
    if not tees:
        raise OutlineError(
            f"Hole {hole.number} has no tee, so its line of play has no start; add a [[tee]] to it."
        )
    return tees[0]


def lay_out_bunker(site: Site, bunker: Bunker, ground_scale: float) -> LaidOutBunker:
    """Lay a bunker out on the course grid.

    `ground_scale` is ground metres per course metre; the site's spacing and sagitta are ground metres. Raises
    OutlineError, NotFoundError.
    """
    tee = first_tee(site, site.hole(bunker.hole))
    curves = outline_curves(site, bunker, ground_scale)
    spacing, sagitta = site.rules.spacing_m / ground_scale, site.rules.sagitta_m / ground_scale
    outlines = tuple(
        LaidOutOutline(
            id=outline.id,
            part=outline.part,
            curve=curves[outline.id],
            points=paint_points(curves[outline.id], np.array([tee.x, tee.y]), spacing, sagitta),
        )
        for outline in bunker.outlines
    )
    drawn = LaidOutBunker(bunker, outlines, (0.0, 0.0), 0.0)
    if bunker.place is None:
        middle = _centroid(drawn.sand.curve)
        line = line_of_play(site, tee)
        along = line.locate(np.array(middle))[0]
    else:
        x, y = own_frame(site, bunker.place, ground_scale).centre
        middle = float(x), float(y)
        line = line_of_play(site, site.tee(bunker.place.tee))
        along = np.asarray(bunker.place.along_m / ground_scale)
    return replace(drawn, middle=middle, play_bearing_deg=float(line.at(along)[1]))


def _centroid(curve: Curve) -> tuple[float, float]:
    vertices = curve.trace(0.01)
    shape = shapely.Polygon(vertices) if curve.closed else shapely.LineString(vertices)
    return float(shape.centroid.x), float(shape.centroid.y)
