"""Builds the page of a peg plan: what it comes to in words, its drawing, its tables."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

import numpy as np

from fieldapp.model.units import METRES_PER
from fieldapp.reading.verdict import R95_IN_SIGMA
from fieldapp.server.bunker_head import hole_words
from fieldapp.server.hole_contexts import Choice
from fieldapp.server.peg_plan_asking import LEAST_COUNT, PlanAsked, TypedPeg
from fieldapp.server.peg_plan_contexts import KeptRow, PegPlanPage, PlannedRow, PointRow, StandingRow
from fieldapp.server.peg_plan_drawing import names_of, plan_drawing
from fieldapp.server.record_rows import minute
from fieldapp.server.tape_words import TapeWords
from fieldapp.server.yardage_words import listed
from fieldapp.tape.peg_places import ROUND_M
from fieldapp.tape.peg_plan import GOOD_CROSSING_DEG, MOST_PEGS, SPARE_M, good_error_m
from fieldapp.workflow.kept_plans import KeptPeg
from fieldapp.workflow.peg_planning import BunkerPegs, PegPlanning, place_of, points_in_reach
from fieldapp.workflow.sites import StandingSite

DRAWING_WIDTH_PX, MOST_HEIGHT_PX = 400.0, 520.0
NEARER = "nearer to the dig than the margin"
DUG = "in the dig, and is dug out with it: move it outside"
BARRED = "on a green or at a tee: move it"
ON_FAIRWAY = "on a fairway: drive it flush, or move it"
NOT_KEPT = "not kept"
KEPT, TAKEN_BACK = "kept", "taken-back"
STEEP = "on steep ground: tape level from it, or move it"


def peg_plan_page(
    standing: StandingSite,
    asked: PlanAsked,
    faults: Sequence[str],
    planning: PegPlanning,
    kept: Sequence[KeptPeg],
    may_plan: bool,
    today: date,
    done: str = "",
) -> PegPlanPage:
    """Build the page of a plan; `faults` are what could not be read or done, `done` says what was just done."""
    site, words = standing.site, TapeWords(standing.site.units.ground)
    bunker = planning.about.points.laid_out.bunker
    base = f"/sites/{site.id}/bunkers/{bunker.id}"
    verdict, headline = _verdict(planning)
    error_m, drawing = planning.plan.worst_error_m, plan_drawing(standing, planning, words)
    planned = _planned(planning, asked, kept, words)
    return PegPlanPage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        bunker_name=bunker.name,
        bunker_url=f"/sites/{site.id}#bunker-{bunker.id}",
        hole=hole_words(site, bunker.hole),
        revision=bunker.revision,
        url=f"{base}/peg-plan",
        withdraw_url=f"{base}/peg-plan/withdraw",
        ties_url=f"{base}/ties",
        baseline_url=f"{base}/baseline",
        dated=f"drawn {today.isoformat()}",
        unit=site.units.ground,
        sign=words.sign,
        faults=tuple(faults),
        done=_done_words(done, kept),
        margin_typed=asked.margin_typed,
        counts=_counts(asked.count),
        counts_standing=asked.counts_standing,
        verdict=verdict,
        figure="" if error_m is None or planning.dug else f"± {words.error(error_m)}",
        headline=headline,
        told=tuple(_told(planning, words)),
        drawing=drawing,
        px_per_unit=round(drawing.px_per_m * METRES_PER[site.units.ground], 6),
        planned=planned,
        spare_row=len(planned) + 1 if len(planned) < MOST_PEGS else 0,
        standing=_standing(planning.about, words),
        notes=tuple(_notes(planning.about, words)),
        points=_points(planning, words),
        kept=tuple(_kept(one, f"{base}/peg-plan") for one in kept),
        kept_words=_kept_words(kept),
        may_plan=may_plan,
    )


def _verdict(planning: PegPlanning) -> tuple[str, str]:
    """Return the verdict and its headline; a peg in a dig comes before all that the others come to."""
    if planning.dug:
        which = listed([peg.id for peg in planning.dug])
        return "out", f"{which} {'stands' if len(planning.dug) == 1 else 'stand'} in the dig"
    return _reach_verdict(planning)


def _reach_verdict(planning: PegPlanning) -> tuple[str, str]:
    plan, tape = planning.plan, planning.about.tape
    out = int((~plan.reach.is_fixed).sum())
    if out == len(plan.reach.is_fixed):
        return "out", "No point is in reach of two pegs"
    if out:
        which = f"{out} of {len(plan.reach.is_fixed)} points are" if out > 1 else "One point is"
        return "out", f"{which} out of reach of two pegs"
    if float(plan.reach.error_m.max()) <= good_error_m(tape):
        return "well", "Every point is well tied"
    return "poor", "Every point is tied, the weakest poorly"


def _told(planning: PegPlanning, words: TapeWords) -> list[str]:
    """Say what the weakest point rests on, and what is checked."""
    plan, tape, about = planning.plan, planning.about.tape, planning.about
    name, names = about.points.names[plan.worst], names_of(planning)
    point = f"point {name.number} of the {name.called}"
    if planning.dug:
        return [_left_out_words(planning, words)]
    if plan.worst_error_m is None:
        return [f"Such as {point}: move a peg nearer, or plan one more."]
    one, other = (names[at] for at in plan.reach.pair[plan.worst])
    crossing = plan.reach.crossing_deg[plan.worst]
    told = [
        f"expected at the weakest, {point}, from {one} and {other}: their tapes cross at {crossing:.0f}° there. "
        f"95 times in 100, by a tape true to {words.error(tape.error_m)} (one sigma) from pegs that stand as told.",
        _checked_words(plan.reach.pegs),
    ]
    good = f"Well tied is up to ± {words.error(good_error_m(tape))}"
    return [*told, f"{good}: tapes that cross at {GOOD_CROSSING_DEG:.0f}° or more."]


def _left_out_words(planning: PegPlanning, words: TapeWords) -> str:
    """Say what the pegs come to without those in a dig."""
    are, them = ("It is", "it") if len(planning.dug) == 1 else ("They are", "them")
    headline, error_m = _reach_verdict(planning)[1], planning.plan.worst_error_m
    weakest = "" if error_m is None else f", ± {words.error(error_m)} at the weakest (95 times in 100)"
    return (
        f"{are} dug out before anybody tapes, and left out of all figures here. Move {them} outside. "
        f"Without {them}: {headline[0].lower()}{headline[1:]}{weakest}."
    )


def _checked_words(pegs: np.ndarray) -> str:
    unchecked = int((pegs < 3).sum())
    if unchecked == 0:
        return "Every point has a third peg in reach, so a misread tape shows."
    which = f"{unchecked} of {len(pegs)} points have" if unchecked > 1 else f"One of {len(pegs)} points has"
    return f"{which} no third peg in reach: a misread tape does not show there."


def _counts(count: int | None) -> tuple[Choice, ...]:
    fewest = Choice("", "as few as will do", count is None)
    return (
        fewest,
        *(Choice(f"{many}", f"{many}", many == count) for many in range(LEAST_COUNT, MOST_PEGS + 1)),
    )


def _planned(
    planning: PegPlanning, asked: PlanAsked, kept: Sequence[KeptPeg], words: TapeWords
) -> tuple[PlannedRow, ...]:
    """Return the rows of the form: those filled in, where a peg cannot be read as they were typed."""
    typed = asked.typed or tuple(
        TypedPeg(peg.id, words.typed(peg.along_m), words.typed(peg.offset_m)) for peg in planning.pegs
    )
    by_name = {peg.id: peg for peg in planning.pegs}
    rows = []
    for number, row in enumerate(typed, 1):
        peg = by_name.get(row.name)
        xy = None if peg is None else place_of(planning.about, peg)
        rows.append(
            PlannedRow(
                number=number,
                id=row.name,
                along=row.along,
                offset=row.offset,
                away=""
                if xy is None or peg in planning.dug
                else words.rough(planning.about.ground.away_m(xy)),
                reaches="" if xy is None or peg in planning.dug else _reaches(planning.about, xy),
                remarks=() if xy is None else tuple(_remarks(planning.about, xy)),
                kept=NOT_KEPT if xy is None else _kept_at(planning.about, row.name, xy, kept),
            )
        )
    return tuple(rows)


def _kept_at(about: BunkerPegs, name: str, xy: tuple[float, float], kept: Sequence[KeptPeg]) -> str:
    """Say who kept a peg in this very place, to the tenth of a metre that plans are made in."""
    for report in (one.report for one in kept):
        if report.peg == name and report.x is not None and report.y is not None:
            there = report.x * about.points.scale, report.y * about.points.scale
            if math.dist(xy, there) < ROUND_M:
                return f"{minute(report.made_at)}, {report.person}"
    return NOT_KEPT


def _reaches(about: BunkerPegs, xy: tuple[float, float]) -> str:
    return f"{points_in_reach(about.points, about.tape, xy)} of {len(about.points.xy)}"


def _remarks(about: BunkerPegs, xy: tuple[float, float]) -> list[str]:
    ground, on_fairway = about.ground, about.ground.is_on_fairway(xy)
    is_dug = ground.is_dug(xy)
    said = {
        DUG: is_dug,
        NEARER: not is_dug and ground.away_m(xy) < ground.margin_m - 0.05,
        BARRED: not is_dug and ground.is_barred(xy),
        ON_FAIRWAY: on_fairway,
        STEEP: bool(ground.is_avoided(np.array([xy]))[0]) and not on_fairway,
    }
    return [remark for remark, is_so in said.items() if is_so]


def _standing(about: BunkerPegs, words: TapeWords) -> tuple[StandingRow, ...]:
    return tuple(
        StandingRow(
            peg.id,
            "as designed" if peg.sigma_m == 0.0 else f"± {words.error(peg.sigma_m * R95_IN_SIGMA)}",
            _reaches(about, peg.xy),
        )
        for peg in about.standing
    )


def _notes(about: BunkerPegs, words: TapeWords) -> list[str]:
    tape = about.tape
    notes = [
        f"Pegs stand {words.rough(about.ground.margin_m)} or more outside the dig, out of other bunkers, off greens "
        "and tee plates; off fairways, where they are mown over, and off steep ground, where as few will do.",
        f"The tape is {words.rough(tape.length_m)} long, of which {words.rough(SPARE_M)} is left in the hand. The "
        "error told is that of the tape and of pegs that stand; measure planned pegs in once they are driven.",
        "The plan knows no machines and haul roads, nor where balls fly: move a peg where you know better.",
        "Have buried services located before a peg is driven.",
    ]
    if about.far:
        notes.insert(
            0, f"In the ground, but out of reach of every point and not counted in: {', '.join(about.far)}."
        )
    if about.inside:
        which = ", ".join(about.inside)
        notes.insert(0, f"In the ground, but nearer to the dig than the margin and not counted in: {which}.")
    return notes


def _points(planning: PegPlanning, words: TapeWords) -> tuple[PointRow, ...]:
    plan, names = planning.plan, names_of(planning)
    rows = []
    for at, name in enumerate(planning.about.points.names):
        fixed = bool(plan.reach.is_fixed[at])
        rows.append(
            PointRow(
                part=name.called,
                number=name.number,
                pegs=" and ".join(names[one] for one in plan.reach.pair[at]) if fixed else "",
                crossing=f"{plan.reach.crossing_deg[at]:.0f}°" if fixed else "",
                error=f"± {words.error(float(plan.reach.error_m[at]))}" if fixed else "",
                check="yes" if plan.reach.pegs[at] > 2 else "no",
                why="" if fixed else "out of reach of two pegs",
                is_weakest=at == plan.worst,
            )
        )
    return tuple(rows)


def _kept(one: KeptPeg, url: str) -> KeptRow:
    report = one.report
    return KeptRow(report.peg, report.person, minute(report.made_at), f"{url}/{report.id}/withdraw")


def _done_words(done: str, kept: Sequence[KeptPeg]) -> str:
    pegs = "1 peg" if len(kept) == 1 else f"{len(kept)} pegs"
    if done == KEPT and kept:
        return f"Kept: {pegs}, on the phones with their next signal."
    if done == TAKEN_BACK:
        left = f"{pegs} of the plan still kept" if kept else "no plan is kept now"
        return f"Taken back: {left}; the phones hear of it with their next signal."
    return ""


def _kept_words(kept: Sequence[KeptPeg]) -> str:
    if not kept:
        return ""
    many = "1 planned peg is" if len(kept) == 1 else f"{len(kept)} planned pegs are"
    return f"{many} kept and shown on the phones; a peg that is driven is reported there as new."
