"""A bunker as it lies, by points on the course grid: what was placed by play or given as an ellipse or kidney too."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import dist

from fieldapp.errors import OutlineError
from fieldapp.model import Bunker, ControlPoint, DrawnShape, Outline, Placement, Site
from fieldapp.model.units import METRES_PER
from fieldapp.outline.curve import Curve
from fieldapp.outline.fitted_points import FIGURES, fitted_shape
from fieldapp.outline.laid_out import lay_out_bunker
from fieldapp.outline.place import moved_shape, outline_curves, own_frame

WITHIN_M = 0.0018
"""How far the curve through the points may leave an ellipse or kidney, course metres."""
TRACE_M = 0.0001
MOVED_MIDDLE_M = 0.005
"""From so far the other middle is told, ground metres."""


@dataclass(frozen=True)
class AsDrawn:
    """A bunker whose every outline is drawn in course metres, and sentences about what was made anew for that."""

    bunker: Bunker
    remarks: tuple[str, ...]


def as_drawn(site: Site, bunker: Bunker, ground_scale: float) -> AsDrawn:
    """Return a bunker by points on the course grid, without a place; `ground_scale` is ground per course metres.

    The curve of every outline stays within 2 mm of where it lies. Raises OutlineError, NotFoundError.
    """
    curves = outline_curves(site, bunker, ground_scale)
    made = [_drawn(site, bunker, outline, curves[outline.id], ground_scale) for outline in bunker.outlines]
    drawn = replace(bunker, place=None, outlines=tuple(one for one, _ in made))
    remarks = tuple(words for _, words in made if words)
    if bunker.place is not None:
        remarks = (*_place_remarks(site, drawn, bunker.place, ground_scale), *remarks)
    return AsDrawn(drawn, remarks)


def _place_remarks(site: Site, drawn: Bunker, place: Placement, scale: float) -> Iterator[str]:
    """Yield what becomes of a place by play; the middle of a bunker without one is that of its sand."""
    away_m = 0.0
    if drawn.outlines:
        away_m = dist(own_frame(site, place, scale).centre, lay_out_bunker(site, drawn, scale).middle) * scale
    if away_m >= MOVED_MIDDLE_M:
        unit, sign = METRES_PER[site.units.ground], {"metre": "m", "foot": "ft"}[site.units.ground]
        yield (
            f"Measured here from the middle of its sand; other pages measure from the centre it was placed by, "
            f"{away_m / unit:.2f} {sign} away, until it is issued anew."
        )
    tee = site.tee(place.tee)
    yield f"It was placed by play from the {tee.name}; now its points lie on the course grid, where it stood."


def _drawn(site: Site, bunker: Bunker, outline: Outline, curve: Curve, scale: float) -> tuple[Outline, str]:
    if isinstance(outline.shape, DrawnShape):
        if bunker.place is None:
            return outline, ""
        moved = moved_shape(outline.shape, own_frame(site, bunker.place, scale))
        return replace(outline, shape=_written(moved)), ""
    kind = type(outline.shape).__name__.lower()
    try:
        fitted = fitted_shape(curve.vertices(TRACE_M), WITHIN_M)
    except OutlineError as fault:
        raise OutlineError(f"Bunker '{bunker.id}', outline '{outline.id}': {fault}") from fault
    words = (
        f"The {outline.part} '{outline.id}' was given as {'an' if kind == 'ellipse' else 'a'} {kind}; now a smooth "
        f"line through {len(fitted.shape.points)} points follows it within {fitted.off_m * 1000 + 0.05:.1f} mm."
    )
    return replace(outline, shape=fitted.shape), words


def _written(shape: DrawnShape) -> DrawnShape:
    points = (ControlPoint(round(at.x, FIGURES), round(at.y, FIGURES), at.role) for at in shape.points)
    return replace(shape, points=tuple(points))
