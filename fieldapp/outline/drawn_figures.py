"""What a laid-out bunker measures from a tee: where its middle lies by play, and its reach and carry."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.model import Site, Tee
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.line_of_play import line_of_play
from fieldapp.play.reach import reach_and_carry

TRACE_SAGITTA_M = 0.001


@dataclass(frozen=True)
class DrawnFigures:
    """Ground metres: along and offset (right positive) of the middle; reach and carry on the straight line to it.

    Reach and carry are of the sand edge, None where that is not a closed line or the aim misses it.
    """

    along_m: float
    offset_m: float
    reach_m: float | None
    carry_m: float | None


def drawn_figures(site: Site, laid_out: LaidOutBunker, tee: Tee, ground_scale: float) -> DrawnFigures:
    """Measure a bunker from a tee; `ground_scale` is ground metres per course metre. Raises OutlineError."""
    along, offset = line_of_play(site, tee).locate(laid_out.middle)
    curve = laid_out.sand.curve
    spread = None
    if curve.closed:
        trace = curve.trace(TRACE_SAGITTA_M)
        spread = reach_and_carry((tee.x, tee.y), laid_out.middle, trace, ground_scale)
    return DrawnFigures(
        along_m=float(along) * ground_scale,
        offset_m=float(offset) * ground_scale,
        reach_m=spread.reach_m if spread else None,
        carry_m=spread.carry_m if spread else None,
    )
