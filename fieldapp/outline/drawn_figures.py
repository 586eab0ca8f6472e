"""What a laid-out bunker measures from a tee: where its middle lies by play, and its reach and carry."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.model import Site, Tee
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.carry import bearing_between, shot
from fieldapp.play.line_of_play import line_of_play

EDGE_TRACE_M = 0.001
"""How far the traced sand edge may leave the true one, course metres."""


@dataclass(frozen=True)
class DrawnFigures:
    """Ground metres: along and offset (right positive) of the middle; reach and carry on the straight line to it.

    Reach and carry are of the sand edge, None where that is not a closed line or the aim misses it. `is_behind` says
    that none of the sand lies ahead of the plate, so that nobody who plays from there has it in the way.
    """

    along_m: float
    offset_m: float
    reach_m: float | None
    carry_m: float | None
    is_behind: bool


def drawn_figures(site: Site, laid_out: LaidOutBunker, tee: Tee, ground_scale: float) -> DrawnFigures:
    """Measure a bunker from a tee; `ground_scale` is ground metres per course metre. Raises OutlineError."""
    line = line_of_play(site, tee)
    along, offset = line.locate(laid_out.middle)
    edge_along, _ = line.locate(laid_out.sand.curve.trace(EDGE_TRACE_M))
    curve, at_middle = laid_out.sand.curve, laid_out.middle == (tee.x, tee.y)
    straight = None
    if curve.closed and not at_middle:
        straight = shot(curve, (tee.x, tee.y), bearing_between((tee.x, tee.y), laid_out.middle), ground_scale)
    return DrawnFigures(
        along_m=float(along) * ground_scale,
        offset_m=float(offset) * ground_scale,
        reach_m=straight.reach_m if straight else None,
        carry_m=straight.carry_m if straight else None,
        is_behind=bool(edge_along.max() <= 0.0),
    )
