"""Old bunker against new: how far it moves, and whom it asks for a carry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fieldapp.model import Site, Tee
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.hole_yardages import BunkerFromTee
from fieldapp.play.line_of_play import line_of_play

Asked = Literal["short", "asked", "over"]


@dataclass(frozen=True)
class Shift:
    """How far a middle moves on a line of play, ground metres: further on positive, to the right positive."""

    along_m: float
    across_m: float


def shift_between(site: Site, old: LaidOutBunker, new: LaidOutBunker, tee: Tee, ground_scale: float) -> Shift:
    """Return the shift of the middle from the old bunker to the new on a tee's line of play.

    `ground_scale` is ground metres per course metre. Raises OutlineError, NotFoundError.
    """
    along, offset = line_of_play(site, tee).locate([old.middle, new.middle])
    return Shift(float(along[1] - along[0]) * ground_scale, float(offset[1] - offset[0]) * ground_scale)


def asked_of(carry_m: float, row: BunkerFromTee, allowance_m: float = 0.0) -> Asked | None:
    """Return what a bunker asks of a player who carries the ball `carry_m` straight at its middle, ground metres.

    Short: the ball comes down before the first sand. Over: it carries the last sand, and the landing allowance with
    it. Asked: anything between, also on the grass between two arms of sand. None: the bunker lies behind the plate, or
    the shot meets no sand, or there is none to measure. A ball that comes down short may still run into the sand; run
    is left out.
    """
    shot = row.to_middle
    if row.is_behind or shot is None or shot.reach_m is None or shot.carry_m is None:
        return None
    if carry_m < shot.reach_m:
        return "short"
    return "over" if carry_m >= shot.carry_m + allowance_m else "asked"
