"""A bunker laid out on the course grid: its curves, their paint points, its middle and the play there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from fieldapp.errors import OutlineError
from fieldapp.model import Bunker, Hole, PartName, Site, Tee
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

    `middle` is the bunker's own centre where it is placed by play, else the centroid of its first outline;
    `play_bearing_deg` is the course bearing of play there, on the line of the hole's first tee.
    """

    bunker: Bunker
    outlines: tuple[LaidOutOutline, ...]
    middle: tuple[float, float]
    play_bearing_deg: float


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

    `ground_scale` is ground metres per course metre. Raises OutlineError, NotFoundError.
    """
    tee = first_tee(site, site.hole(bunker.hole))
    line = line_of_play(site, tee)
    curves = outline_curves(site, bunker, ground_scale)
    rules = site.rules
    outlines = tuple(
        LaidOutOutline(
            id=outline.id,
            part=outline.part,
            curve=curves[outline.id],
            points=paint_points(
                curves[outline.id], np.array([tee.x, tee.y]), rules.spacing_m, rules.sagitta_m
            ),
        )
        for outline in bunker.outlines
    )
    middle = _middle(site, bunker, outlines[0].curve, ground_scale)
    along, _ = line.locate(np.array(middle))
    _, bearing_deg = line.at(along)
    return LaidOutBunker(bunker, outlines, middle, float(bearing_deg))


def _middle(site: Site, bunker: Bunker, curve: Curve, ground_scale: float) -> tuple[float, float]:
    if bunker.place is not None:
        x, y = own_frame(site, bunker.place, ground_scale).centre
        return float(x), float(y)
    vertices = curve.trace(0.01)
    shape = shapely.Polygon(vertices) if curve.closed else shapely.LineString(vertices)
    return float(shape.centroid.x), float(shape.centroid.y)
