"""A bunker's paint points on the ground, and the pegs that belong to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import NotFoundError
from fieldapp.model import Site
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.model.units import METRES_PER_FOOT
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.ground import ground_between
from fieldapp.tape.baseline import SQUARE_UNIT_M
from fieldapp.tape.point_levels import point_levels
from fieldapp.tape.ties import Tape, TiePeg, is_tapeable, peg_sigma_m

FloatArray = NDArray[np.float64]

BELONGS_WITHIN = 1.5
"""A peg belongs to a bunker where its nearest paint point is within so many lengths of the tape."""
OUT_WORDS = {"planned": "is planned and not driven yet", "moved": "has moved", "missing": "is missing"}
FAR_WORDS = "is out of reach of every paint point"


@dataclass(frozen=True)
class PointName:
    """Which paint point: its outline, what that is and what it is called in its bunker, its number."""

    outline: str
    part: str
    called: str
    number: int


@dataclass(frozen=True, eq=False)
class BunkerPoints:
    """The paint points of a bunker by name, ground metres `xy` `(N, 2)`: course metres times `scale`.

    `levels_m` `(N,)` is NaN where it is not known; `levels_basis` says for each outline where its levels are from.
    """

    laid_out: LaidOutBunker
    scale: float
    names: tuple[PointName, ...]
    xy: FloatArray
    levels_m: FloatArray
    levels_basis: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class LeftOut:
    """A peg of the bunker that nothing is measured from, and why, as goes on after its name."""

    peg: str
    why: str


def site_tape(site: Site) -> Tape:
    """Return the tape a site's crew works with."""
    return Tape(site.rules.tape_length_m, site.rules.tape_error_m)


def site_square_unit_m(site: Site) -> float:
    """Return the unit of the 3-4-5 that a site's squares are set with: 2 m, or 6 ft where the ground is in feet."""
    return 6 * METRES_PER_FOOT if site.units.ground == "foot" else SQUARE_UNIT_M


def bunker_points(site: Site, laid_out: LaidOutBunker, scale: float) -> BunkerPoints:
    """Return the paint points of a bunker with their levels; `scale` is ground metres per course metre."""
    ground = ground_between(site.spot_levels, scale)
    own = {outline.id: outline.level_m for outline in laid_out.bunker.outlines}
    levels = [point_levels(outline.points.xy, ground, own[outline.id]) for outline in laid_out.outlines]
    names_of_outlines = [laid_out.called(outline.id) for outline in laid_out.outlines]
    names = [
        PointName(outline.id, outline.part, called, number)
        for outline, called in zip(laid_out.outlines, names_of_outlines, strict=True)
        for number in range(1, len(outline.points.xy) + 1)
    ]
    return BunkerPoints(
        laid_out=laid_out,
        scale=scale,
        names=tuple(names),
        xy=np.concatenate([outline.points.xy for outline in laid_out.outlines]) * scale,
        levels_m=np.concatenate([one.levels_m for one in levels]),
        levels_basis=tuple(
            (called, one.basis) for called, one in zip(names_of_outlines, levels, strict=True)
        ),
    )


def tie_peg(standing: StandingPeg, scale: float) -> TiePeg:
    """Return a peg as ties are reckoned from it, ground metres."""
    peg = standing.peg
    return TiePeg(peg.id, (peg.x * scale, peg.y * scale), peg_sigma_m(standing.within_m), peg.level_m)


def pegs_of_bunker(pegs: Sequence[StandingPeg], points: BunkerPoints, tape: Tape) -> tuple[StandingPeg, ...]:
    """Return the pegs that belong to a bunker, in place or not. Paint pegs stand on the outline itself: they do not."""
    return tuple(
        standing
        for standing in pegs
        if standing.peg.kind != "paint"
        and nearest_m(tie_peg(standing, points.scale), points.xy) <= BELONGS_WITHIN * tape.length_m
    )


def can_tape_from(standing: StandingPeg) -> bool:
    """Return whether a peg is in place, and its place known well enough to tape from."""
    return standing.is_in_place and is_tapeable(standing.within_m)


def left_out(pegs: Sequence[StandingPeg]) -> tuple[LeftOut, ...]:
    """Return those of a bunker's pegs that cannot be taped from."""
    return tuple(
        LeftOut(standing.peg.id, _out_words(standing)) for standing in pegs if not can_tape_from(standing)
    )


def _out_words(standing: StandingPeg) -> str:
    if not standing.is_in_place:
        return OUT_WORDS[standing.state or ""]
    within_m = standing.within_m or 0.0
    return f"is known to {within_m:.2g} m ({within_m / METRES_PER_FOOT:.2g} ft) only"


def peg_called(pegs: Sequence[TiePeg], wanted: str, of: str) -> TiePeg:
    """Return a peg by its id; raises NotFoundError naming those there are."""
    for peg in pegs:
        if peg.id == wanted:
            return peg
    known = ", ".join(peg.id for peg in pegs) or "none"
    raise NotFoundError(f"There is no peg in place near bunker '{of}' called '{wanted}'; there are: {known}.")


def nearest_m(peg: TiePeg, points_xy: FloatArray) -> float:
    """Return how far a peg is from the nearest of the points `(N, 2)`, ground metres."""
    return float(np.hypot(*(points_xy - np.array(peg.xy)).T).min())
