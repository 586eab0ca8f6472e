"""Planning the pegs of a bunker: what is proposed, what given places come to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.model.standing_peg import StandingPeg
from fieldapp.tape.bunker_ground import MARGIN_M, along_and_offset, bunker_ground, place_at
from fieldapp.tape.bunker_points import BunkerPoints, can_tape_from, pegs_of_bunker, site_tape, tie_peg
from fieldapp.tape.peg_places import PegGround
from fieldapp.tape.peg_plan import PegPlan, judge_pegs, plan_pegs, planned_reach_m
from fieldapp.tape.ties import Tape, TiePeg
from fieldapp.workflow.sites import StandingSite
from fieldapp.workflow.tying import standing_points

LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class PlannedPeg:
    """A peg to be driven: ground metres along the play from the bunker's middle and to the right of it."""

    id: str
    along_m: float
    offset_m: float


@dataclass(frozen=True, eq=False)
class BunkerPegs:
    """What a plan of pegs starts from. `standing` are the pegs of the bunker in place that it counts in.

    `inside` are those in place nearer to the dig than the margin and `far` those that no point is in reach of, which it
    does not; `taken` are the names of all other pegs of the site.
    """

    points: BunkerPoints
    ground: PegGround
    tape: Tape
    standing: tuple[TiePeg, ...]
    inside: tuple[str, ...]
    far: tuple[str, ...]
    taken: frozenset[str]


@dataclass(frozen=True, eq=False)
class PegPlanning:
    """A plan and what it was made for: `plan` is what the pegs come to without the `dug`, which stand in a dig."""

    about: BunkerPegs
    pegs: tuple[PlannedPeg, ...]
    dug: tuple[PlannedPeg, ...]
    plan: PegPlan

    @property
    def counted(self) -> tuple[PlannedPeg, ...]:
        """The planned pegs that anything can be taped from."""
        return tuple(peg for peg in self.pegs if peg not in self.dug)


def bunker_pegs(
    standing: StandingSite,
    bunker_id: str,
    pegs: Sequence[StandingPeg],
    margin_m: float = MARGIN_M,
    counts_standing: bool = True,
) -> BunkerPegs:
    """Return what the pegs of a bunker are planned from; raises NotFoundError."""
    points, tape = standing_points(standing, bunker_id), site_tape(standing.site)
    ground = bunker_ground(standing.site, standing.bunkers, points, margin_m)
    in_place = [
        tie_peg(peg, points.scale) for peg in pegs_of_bunker(pegs, points, tape) if can_tape_from(peg)
    ]
    outside = [peg for peg in in_place if ground.away_m(peg.xy) >= margin_m]
    far = [peg for peg in outside if not points_in_reach(points, tape, peg.xy)]
    return BunkerPegs(
        points=points,
        ground=ground,
        tape=tape,
        standing=tuple(peg for peg in outside if peg not in far) if counts_standing else (),
        inside=tuple(peg.id for peg in in_place if peg not in outside),
        far=tuple(peg.id for peg in far),
        taken=frozenset(peg.peg.id for peg in pegs if not _is_planned_for(peg, bunker_id)),
    )


def proposed(about: BunkerPegs, count: int | None = None) -> PegPlanning:
    """Return the plan that is proposed, with so many new pegs or as few as will do; raises InputError."""
    plan = plan_pegs(about.points.xy, about.ground, about.tape, count, about.standing)
    places = along_and_offset(about.points, plan.pegs_xy) if len(plan.pegs_xy) else np.zeros((0, 2))
    names = _free_names(about, len(places))
    pegs = [
        PlannedPeg(name, round(along, 1), round(offset, 1))
        for name, (along, offset) in zip(names, places.tolist(), strict=True)
    ]
    return judged(about, pegs)


def judged(about: BunkerPegs, pegs: Sequence[PlannedPeg]) -> PegPlanning:
    """Return what pegs at given places come to."""
    dug = tuple(peg for peg in pegs if about.ground.is_dug(place_of(about, peg)))
    xy = np.array([place_of(about, peg) for peg in pegs if peg not in dug]).reshape(-1, 2)
    plan = judge_pegs(about.points.xy, xy, about.ground, about.tape, about.standing)
    return PegPlanning(about, tuple(pegs), dug, plan)


def points_in_reach(points: BunkerPoints, tape: Tape, xy: tuple[float, float]) -> int:
    """Return how many paint points a peg at a place is in reach of, with tape left in the hand."""
    away = np.hypot(*(points.xy - np.array(xy)).T)
    return int((away <= planned_reach_m(tape)).sum())


def place_of(about: BunkerPegs, peg: PlannedPeg) -> tuple[float, float]:
    """Return where a planned peg lies, ground metres."""
    x, y = place_at(about.points, peg.along_m, peg.offset_m)
    return float(x), float(y)


def _is_planned_for(standing: StandingPeg, bunker_id: str) -> bool:
    """Whether a peg is only planned, for this bunker: another plan may take its name."""
    placed = standing.placed
    return standing.state == "planned" and placed is not None and placed.bunker == bunker_id


def _free_names(about: BunkerPegs, count: int) -> list[str]:
    """Return names for new pegs: the bunker's own with a letter that no peg has yet."""
    bunker = about.points.laid_out.bunker.id
    names = (f"{bunker}-{letter}" for letter in LETTERS)
    free = [name for name in names if name not in about.taken]
    return free[:count]
