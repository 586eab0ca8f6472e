"""The bundle: everything a phone needs to set out one hole, as one JSON document.

Version 1. Coordinates are course coordinates in metres; positions are latitude, longitude in degrees.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import UTC, date, datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import InputError
from fieldapp.formats.near_words import near_words
from fieldapp.formats.records import moment_text
from fieldapp.geodesy.frame import LocalFrame, fit_frame
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.geodesy.north import declination
from fieldapp.geodesy.peg_agreement import peg_notes
from fieldapp.model import Bunker, HeldRecord, Hole, Peg, PegReport, Site
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.outline.laid_out import LaidOutBunker, LaidOutOutline, hole_scale, lay_out_bunker
from fieldapp.play.ground import Ground, ground_between
from fieldapp.play.line_of_play import line_of_play
from fieldapp.play.standing_plan import standing_plan
from fieldapp.tape.point_levels import point_levels

FORMAT = "fieldapp-bundle"
VERSION = 1
MOST_PHOTOS_TOLD = 6
"""Of a peg, the newest: what a crew looks at to find it again."""
FRAME_MARGIN_M = 250.0
FRAME_LEAST_HALF_WIDTH_M = 1500.0

Json = dict[str, Any]


def build_bundle(
    description: Json,
    marks: Iterable[Mapping[str, Any]],
    made_at: datetime,
    pegs: Sequence[StandingPeg] = (),
) -> Json:
    """Build the bundle of one hole from its description, its standing marks (JSON-ready objects) and the pegs."""
    content = {
        "format": FORMAT,
        "version": VERSION,
        **description,
        "marks": [dict(mark) for mark in marks],
        "field_pegs": [_field_peg(peg) for peg in pegs if peg.placed is not None],
        "peg_reports": [_peg_report(peg, item) for peg in pegs for item in peg.history],
        "peg_photos": [
            {"peg": peg.peg.id, "photos": list(peg.photos[-MOST_PHOTOS_TOLD:])} for peg in pegs if peg.photos
        ],
    }
    return {**content, "content_id": _content_id(content), "made_at": _utc(made_at)}


def describe_hole(site: Site, grid: CourseGrid, hole_number: int, on_day: date) -> Json:
    """Return the part of a hole's bundle that changes only with the site and the day of the declination.

    Raises NotFoundError, OutlineError, GridError.
    """
    hole = site.hole(hole_number)
    scale = hole_scale(grid, hole)
    bunkers = [lay_out_bunker(site, bunker, scale) for bunker in site.bunkers if bunker.hole == hole.number]
    ground = ground_between(site.spot_levels, scale)
    frame = _hole_frame(site, grid, hole, bunkers)
    return {
        "site": _site(site, grid),
        "frame": _frame(frame, scale),
        "declination": _declination(frame, on_day),
        "hole": _hole(site, grid, hole, bunkers),
        "bunkers": [
            {**_bunker(laid_out, ground), "near": list(near_words(site, laid_out, scale))}
            for laid_out in bunkers
        ],
        "pegs": [_peg(peg) for peg in site.pegs],
        "tape": {"length_m": site.rules.tape_length_m, "error_m": site.rules.tape_error_m},
    }


def site_notes(site: Site, grid: CourseGrid) -> tuple[str, ...]:
    """Return the sentences that whoever works on this site must have read, about its grid and its pegs."""
    return (*grid.notes, *peg_notes(grid, site.pegs, site.rules.tolerance_m))


def _site(site: Site, grid: CourseGrid) -> Json:
    return {
        "id": site.id,
        "name": site.name,
        "note": site.note,
        "tolerance_m": site.rules.tolerance_m,
        "units": {"yardage": site.units.yardage, "ground": site.units.ground},
        "notes": list(site_notes(site, grid)),
    }


def _hole_frame(site: Site, grid: CourseGrid, hole: Hole, bunkers: list[LaidOutBunker]) -> LocalFrame:
    corners = [(hole.green_x, hole.green_y), *hole.turning_points]
    corners += [(tee.x, tee.y) for tee in site.tees_of(hole.number)]
    corners += [laid_out.middle for laid_out in bunkers]
    low, high = np.min(corners, axis=0), np.max(corners, axis=0)
    half_width = max(FRAME_LEAST_HALF_WIDTH_M, float(np.max(high - low)) / 2 + FRAME_MARGIN_M)
    return fit_frame(grid, (low + high) / 2, half_width)


def _frame(frame: LocalFrame, ground_scale: float) -> Json:
    return {
        "origin": [frame.origin_lat_deg, frame.origin_lon_deg, frame.origin_height_m],
        "degree": frame.degree,
        "x": [float(value) for value in frame.x_coefficients],
        "y": [float(value) for value in frame.y_coefficients],
        "half_width_m": frame.half_width_m,
        "residual_m": frame.residual_m,
        "ground_scale": ground_scale,
    }


def _declination(frame: LocalFrame, on_day: date) -> Json | None:
    start = date(on_day.year, 1, 1)
    year = on_day.year + (on_day - start).days / (date(on_day.year + 1, 1, 1) - start).days
    try:
        found = declination(frame.origin_lat_deg, frame.origin_lon_deg, frame.origin_height_m, year)
    except InputError:
        return None
    return {
        "deg": found.deg,
        "uncertainty_deg": found.uncertainty_deg,
        "model": found.model,
        "at": on_day.isoformat(),
    }


def _hole(site: Site, grid: CourseGrid, hole: Hole, bunkers: list[LaidOutBunker]) -> Json:
    return {
        "number": hole.number,
        "name": hole.name,
        "green": [hole.green_x, hole.green_y],
        "tees": [
            {
                "id": tee.id,
                "name": tee.name,
                "x": tee.x,
                "y": tee.y,
                "within_m": tee.within_m,
                "line": _places(line_of_play(site, tee).vertices),
            }
            for tee in site.tees_of(hole.number)
        ],
        "grid_within_m": _grid_within_m(grid, hole, bunkers),
        "grid_unknown": grid.unknown,
    }


def _grid_within_m(grid: CourseGrid, hole: Hole, bunkers: list[LaidOutBunker]) -> float | None:
    """Return the largest 95 % radius of the grid at the hole's bunkers and green; None where it is not known."""
    places = [laid_out.middle for laid_out in bunkers] + [(hole.green_x, hole.green_y)]
    radii = [grid.within95_m(place) for place in places]
    known = [radius for radius in radii if radius is not None]
    return max(known) if len(known) == len(radii) else None


def _bunker(laid_out: LaidOutBunker, ground: Ground) -> Json:
    bunker = laid_out.bunker
    return {
        "id": bunker.id,
        "name": bunker.name,
        "revision": bunker.revision,
        "note": bunker.note,
        "play_bearing_deg": laid_out.play_bearing_deg,
        "middle": list(laid_out.middle),
        "plan": _plan(bunker),
        "outlines": [
            {**_outline(outline), **_levels(outline, ground, bunker.outline(outline.id).level_m)}
            for outline in laid_out.outlines
        ],
    }


def _plan(bunker: Bunker) -> Json | None:
    plan = standing_plan(bunker)
    return None if plan is None else asdict(plan)


def _outline(outline: LaidOutOutline) -> Json:
    points = outline.points
    return {
        "id": outline.id,
        "part": outline.part,
        "closed": outline.curve.closed,
        "length_m": float(outline.curve.length_m),
        "trace": _places(outline.trace()),
        "points": [
            [number, round(float(x), 5), round(float(y), 5), round(float(chainage), 4)]
            for number, ((x, y), chainage) in enumerate(zip(points.xy, points.chainage_m, strict=True), 1)
        ],
    }


def _levels(outline: LaidOutOutline, ground: Ground, own_level_m: float | None) -> Json:
    """Return the levels of the paint points, None for one that is not known, or for all; and where they are from."""
    found = point_levels(outline.points.xy, ground, own_level_m)
    levels = [None if math.isnan(level) else round(level, 4) for level in found.levels_m.tolist()]
    return {"levels_m": levels if found.is_known else None, "levels_basis": found.basis}


def _peg(peg: Peg) -> Json:
    return {
        "id": peg.id,
        "kind": peg.kind,
        "x": peg.x,
        "y": peg.y,
        "level_m": peg.level_m,
        "note": peg.note,
        "within_m": peg.within_m,
    }


def _field_peg(standing: StandingPeg) -> Json:
    """Return a peg that a crew placed; its place is known among its neighbours only, so nobody checks in on it."""
    assert standing.placed is not None
    return {**_peg(standing.peg), "within_m": standing.within_m, "placed": standing.placed.id}


def _peg_report(standing: StandingPeg, item: HeldRecord) -> Json:
    """Return a report of a peg.

    One set again is told with the radius of the ties it stands within, a crew's own with its place. `at` is the time
    that orders it among the others: a clock that runs ahead must not win for ever.
    """
    report = item.record
    assert isinstance(report, PegReport)
    places = standing.placed is not None and report.x is not None
    place = {"peg_kind": report.peg_kind, "x": report.x, "y": report.y} if places else {}
    return {
        "id": report.id,
        "peg": report.peg,
        "state": report.state,
        **place,
        "within_m": report.within_m if places or report.state == "reset" else None,
        "note": report.note,
        "photos": list(report.photos),
        "person": report.person,
        "made_at": moment_text(report.made_at),
        "at": moment_text(min(report.made_at, item.received_at)),
    }


def _places(vertices: NDArray[np.float64]) -> list[list[float]]:
    return [[round(float(x), 4), round(float(y), 4)] for x, y in vertices]


def _content_id(content: Json) -> str:
    text = json.dumps(content, sort_keys=True, allow_nan=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _utc(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
