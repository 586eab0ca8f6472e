"""Whether lengths of holes, places of bunkers and their plans are those of a golf course, and of one another."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
import shapely

from fieldapp.errors import OutlineError
from fieldapp.formats.lengths import SUFFIX_OF
from fieldapp.formats.site_mistakes import Findings
from fieldapp.formats.site_reading import Reading
from fieldapp.model import Bunker, Hole, Placement, Plan, Site, Tee
from fieldapp.model.units import METRES_PER
from fieldapp.outline.drawn_figures import drawn_figures
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.line_of_play import line_of_play

SHORTEST_HOLE_M, LONGEST_HOLE_M = 20.0, 1_200.0
FARTHEST_OFF_PLAY_M = 300.0
FARTHEST_BEYOND_M = 100.0
FARTHEST_FAIRWAY_M = 500.0
TIMES_TOLERANCE = 10.0
"""Plan and drawing are shown side by side; this many tolerances of the plan apart, one of them is a slip."""
SAME_PLACE_M = 0.01


def check_line(site: Site, findings: Findings, tee: Tee, scale: float) -> bool:
    """Tell whether a tee has a line of play of some believable length, and note if not.

    `scale` is ground metres per course metre, here and below.
    """
    try:
        length_m = line_of_play(site, tee).length_m * scale
    except OutlineError as error:
        findings.add_refusal(findings.path_of(tee), error)
        return False
    if SHORTEST_HOLE_M <= length_m <= LONGEST_HOLE_M:
        return True
    findings.add(
        findings.path_of(tee),
        f"hole {tee.hole} is {length_m:,.0f} m long from this tee",
        "check the tee, the turning points and the green, and the unit of coordinates",
    )
    return False


def check_fairway(reading: Reading, hole: Hole, tees: Collection[str], scale: float) -> None:
    """Note the corners of a fairway that lie far from the line of play from every tee; `tees` have a sound line."""
    sound = [tee for tee in reading.site.tees_of(hole.number) if tee.id in tees]
    if not hole.fairway or not sound:
        return
    lines = shapely.MultiLineString([line_of_play(reading.site, tee).vertices for tee in sound])
    away_m = shapely.distance(shapely.points(hole.fairway), lines) * scale
    far = np.flatnonzero(away_m > FARTHEST_FAIRWAY_M).tolist()
    if far:
        others = f", and {len(far) - 1} more of its corners lie as far off" if far[1:] else ""
        reading.findings.add(
            (*reading.findings.path_of(hole), "fairway", far[0]),
            f"it lies {away_m[far[0]]:,.0f} m from the line of play of hole {hole.number}{others}",
            f"correct its x and y, x first, or their unit; no fairway reaches {FARTHEST_FAIRWAY_M:.0f} m from it",
        )


def check_distances(reading: Reading, bunker: Bunker, laid_out: LaidOutBunker, scale: float) -> None:
    """Note a bunker far from the play of its hole, or one whose plan speaks of another place."""
    if bunker.place is None:
        near = _is_beside_play(reading, bunker, laid_out, scale)
    else:
        near = _is_placed_in_play(reading, bunker, bunker.place, scale) and _measures_as_placed(
            reading, bunker, bunker.place, laid_out, scale
        )
    if near and bunker.plan is not None:
        _check_plan(reading, bunker.plan, laid_out, bunker, scale)


def _is_placed_in_play(reading: Reading, bunker: Bunker, place: Placement, scale: float) -> bool:
    site, path = reading.site, (*reading.findings.path_of(bunker), "place")
    line_m = line_of_play(site, site.tee(place.tee)).length_m * scale
    within = -FARTHEST_BEYOND_M <= place.along_m <= line_m + FARTHEST_BEYOND_M
    if not within:
        what = f"it is placed {place.along_m:,.0f} m along a line of play of {line_m:,.0f} m"
        reading.findings.add(path, what, "correct the distance along, its unit or its tee")
    beside = abs(place.offset_m) <= FARTHEST_OFF_PLAY_M
    if not beside:
        what = f"it is placed {abs(place.offset_m):,.0f} m off the line of play"
        reading.findings.add(path, what, "correct the offset or its unit")
    return within and beside


def _measures_as_placed(
    reading: Reading, bunker: Bunker, place: Placement, laid_out: LaidOutBunker, scale: float
) -> bool:
    """Inside a bend of the line of play the next leg may be nearer, and a place measures otherwise than given."""
    site, unit = reading.site, reading.site.units.yardage
    measured = drawn_figures(site, laid_out, site.tee(place.tee), scale)
    apart = (measured.along_m - place.along_m, measured.offset_m - place.offset_m)
    if max(map(abs, apart)) <= SAME_PLACE_M:
        return True
    along, offset = (f"{length / METRES_PER[unit]:.2f}" for length in (measured.along_m, measured.offset_m))
    suffix = SUFFIX_OF[unit]
    reading.findings.add(
        (*reading.findings.path_of(bunker), "place"),
        f"it lies inside a bend, where another leg of the line of play is nearer: measured, it is {along} {suffix} "
        f"along and {offset} {suffix} off",
        f"write along_{suffix} = {along} and offset_{suffix} = {offset}, and set skew_deg against that leg",
    )
    return False


def _is_beside_play(reading: Reading, bunker: Bunker, laid_out: LaidOutBunker, scale: float) -> bool:
    line = line_of_play(reading.site, reading.site.tees_of(bunker.hole)[0])
    off_m = abs(float(line.locate(laid_out.middle)[1])) * scale
    if off_m <= FARTHEST_OFF_PLAY_M:
        return True
    reading.findings.add(
        reading.findings.path_of(bunker),
        f"it lies {off_m:,.0f} m off the line of play of hole {bunker.hole}",
        "check its points, x first, their unit and the bunker's hole",
    )
    return False


def _check_plan(reading: Reading, plan: Plan, laid_out: LaidOutBunker, bunker: Bunker, scale: float) -> None:
    site = reading.site
    unit = site.units.yardage
    measured = drawn_figures(site, laid_out, site.tee(plan.tee), scale)
    for name in ("along", "offset", "reach", "carry"):
        planned_m, drawn_m = getattr(plan, f"{name}_m"), getattr(measured, f"{name}_m")
        if (
            planned_m is None
            or drawn_m is None
            or abs(planned_m - drawn_m) <= TIMES_TOLERANCE * plan.tolerance_m
        ):
            continue
        planned, drawn = (
            f"{length / METRES_PER[unit]:.1f} {SUFFIX_OF[unit]}" for length in (planned_m, drawn_m)
        )
        reading.findings.add(
            (*reading.findings.path_of(bunker), "plan"),
            f"by the plan {name} is {planned} and by the drawing {drawn}",
            "correct the figure or its unit, or the bunker's place, or raise the plan's tolerance",
        )
