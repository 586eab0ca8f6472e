"""The tie sheet of a bunker: every paint point by taped distances from the pegs that are in place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fieldapp.model.standing_peg import StandingPeg
from fieldapp.tape.bunker_points import (
    FAR_WORDS,
    BunkerPoints,
    LeftOut,
    can_tape_from,
    left_out,
    nearest_m,
    pegs_of_bunker,
    tie_peg,
)
from fieldapp.tape.ties import PointTies, Tape, TiePeg, tie_sheet


@dataclass(frozen=True, eq=False)
class TiedBunker:
    """The tie sheet of a bunker: for each of its points the ties, in the order of `points.names`."""

    points: BunkerPoints
    pegs: tuple[TiePeg, ...]
    left_out: tuple[LeftOut, ...]
    tape: Tape
    ties: tuple[PointTies, ...]


def tied_bunker(points: BunkerPoints, pegs: Sequence[StandingPeg], tape: Tape) -> TiedBunker:
    """Return the tie sheet of a bunker from those of its pegs that can be taped from and are in reach of a point."""
    own = pegs_of_bunker(pegs, points, tape)
    fit = [tie_peg(standing, points.scale) for standing in own if can_tape_from(standing)]
    used = tuple(peg for peg in fit if nearest_m(peg, points.xy) <= tape.length_m)
    out = (*left_out(own), *(LeftOut(peg.id, FAR_WORDS) for peg in fit if peg not in used))
    return TiedBunker(points, used, out, tape, tie_sheet(points.xy, used, tape, points.levels_m))
