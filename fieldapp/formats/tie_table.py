"""The tie sheet and the base line of a bunker for other programs: one JSON document each, or CSV.

Every length is there twice, in metres (`_m`) and in feet (`_ft`), to 0.001; angles end in `_deg`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from fieldapp.formats.csv_lines import csv_line, safe_text
from fieldapp.model import Site
from fieldapp.model.units import METRES_PER_FOOT
from fieldapp.tape.baseline import right_angle_sides
from fieldapp.tape.bunker_points import BunkerPoints, PointName
from fieldapp.tape.squared_bunker import SquaredBunker, SquaredPlace
from fieldapp.tape.tied_bunker import TiedBunker
from fieldapp.tape.ties import PointTies, Tape, Tie, TiePeg

TIES_FORMAT, BASELINE_FORMAT, VERSION = "fieldapp-ties", "fieldapp-baseline", 1
TIES_FIGURES = (
    "Distance is level, on the ground, from a peg; slope is what the tape reads between the levels of peg and point,"
    " empty where one of them is not known. The point lies left or right of the line from the first peg to the second."
    " Crossing is the angle of the two tapes at the point, 90 the best. Within is the long half axis of the 95 %"
    " ellipse of the point, from one sigma of the tape and those of the pegs' places, in which a peg without one counts"
    " as exact. Check is the distance from a third peg, and how far it may miss by those errors, 95 %."
)
BASELINE_FIGURES = (
    "Chainage along the string from its first peg, offset square to it, right positive looking to the second peg; both"
    " level, on the ground. Is_on_string is no where the foot lies beyond a peg. Within is the long half axis of the"
    " 95 % ellipse, from one sigma of the tape, a right angle set by three sides of the 3-4-5, and the pegs' places."
)
UNITS = {"m": 1.0, "ft": METRES_PER_FOOT}
TIE_ENDS = ("first", "second", "check")
Json = dict[str, Any]
Cell = str | int | float | None


def ties_json(site: Site, tied: TiedBunker) -> Json:
    """Return a tie sheet as a JSON-ready object."""
    return {
        "format": TIES_FORMAT,
        "version": VERSION,
        "figures": TIES_FIGURES,
        **_bunker(site, tied.points),
        "levels": dict(tied.points.levels_basis),
        "tape": _tape(tied.tape),
        "pegs": [_peg(peg, tied.points.scale) for peg in tied.pegs],
        "left_out": [{"peg": out.peg, "why": out.why} for out in tied.left_out],
        "points": [
            _point(name) | _ties(ties) for name, ties in zip(tied.points.names, tied.ties, strict=True)
        ],
    }


def ties_csv(site: Site, tied: TiedBunker) -> Iterator[str]:
    """Yield CSV lines, the names first; what is not there is empty."""
    bunker = tied.points.laid_out.bunker
    rows = zip(tied.points.names, tied.ties, strict=True)
    flat = [
        {"site": site.id, "bunker": bunker.id, "revision": bunker.revision, **_point(name), **_flat(ties)}
        for name, ties in rows
    ]
    yield from _csv(flat)


def baseline_json(site: Site, squared: SquaredBunker) -> Json:
    """Return a base line as a JSON-ready object."""
    return {
        "format": BASELINE_FORMAT,
        "version": VERSION,
        "figures": BASELINE_FIGURES,
        **_bunker(site, squared.points),
        "tape": _tape(squared.tape),
        "pegs": [_peg(peg, squared.points.scale) for peg in (squared.start, squared.end)],
        **_lengths({"length": squared.length_m, "every": squared.every_m}),
        "right_angle": _lengths(dict(zip("abc", right_angle_sides(squared.square_unit_m), strict=True))),
        "places": [_place(place) for place in squared.places],
    }


def baseline_csv(site: Site, squared: SquaredBunker) -> Iterator[str]:
    """Yield CSV lines, the names first; a place that is no paint point has no number."""
    bunker = squared.points.laid_out.bunker
    ends = {"from_peg": squared.start.id, "to_peg": squared.end.id}
    yield from _csv(
        {"site": site.id, "bunker": bunker.id, "revision": bunker.revision, **ends, **_place(place)}
        for place in squared.places
    )


def _csv(rows: Iterable[Json]) -> Iterator[str]:
    names: tuple[str, ...] = ()
    for row in rows:
        if not names:
            names = tuple(row)
            yield csv_line(names)
        yield csv_line([_cell(row[name]) for name in names])


def _bunker(site: Site, points: BunkerPoints) -> Json:
    bunker = points.laid_out.bunker
    return {
        "site": {"id": site.id, "name": site.name},
        "bunker": {"id": bunker.id, "name": bunker.name, "hole": bunker.hole, "revision": bunker.revision},
    }


def _tape(tape: Tape) -> Json:
    return _lengths({"length": tape.length_m, "error": tape.error_m})


def _peg(peg: TiePeg, scale: float) -> Json:
    """Return a peg; x and y are metres on the course grid, as everywhere in files."""
    return {
        "id": peg.id,
        "x": round(peg.xy[0] / scale, 4),
        "y": round(peg.xy[1] / scale, 4),
        "level_m": peg.level_m,
        **_lengths({"sigma": peg.sigma_m}),
    }


def _point(name: PointName) -> Json:
    return {"outline": name.outline, "part": name.part, "number": name.number}


def _ties(ties: PointTies) -> Json:
    ends = zip(TIE_ENDS, ties.ties, strict=False)
    return {
        **{end: {"peg": tie.peg, **_lengths(_taped(tie))} for end, tie in ends},
        "side": ties.side,
        "crossing_deg": _angle(ties.crossing_deg),
        **_lengths(_expected(ties)),
        "why": ties.why,
    }


def _flat(ties: PointTies) -> Json:
    found: Json = {}
    for at, end in enumerate(TIE_ENDS):
        tie = ties.ties[at] if at < len(ties.ties) else None
        found |= {f"{end}_peg": tie.peg if tie else ""}
        found |= {f"{end}_{name}": value for name, value in _lengths(_taped(tie)).items()}
    crossing = {"side": ties.side, "crossing_deg": _angle(ties.crossing_deg)}
    return found | crossing | _lengths(_expected(ties)) | {"why": ties.why}


def _taped(tie: Tie | None) -> dict[str, float | None]:
    return {"distance": tie.level_m if tie else None, "slope": tie.slope_m if tie else None}


def _expected(ties: PointTies) -> dict[str, float | None]:
    return {
        "within": ties.ellipse.major_m if ties.ellipse else None,
        "check_within": ties.check_within_m,
    }


def _place(place: SquaredPlace) -> Json:
    row = place.row
    return {
        "outline": place.outline,
        "part": place.part,
        "number": place.number,
        **_lengths({"chainage": row.chainage_m, "offset": row.offset_m, "within": row.ellipse.major_m}),
        "is_on_string": "yes" if row.is_on_string else "no",
    }


def _lengths(lengths_m: dict[str, float | None]) -> dict[str, float | None]:
    """Return lengths in metres and in feet, each to 0.001 of its unit, under names that say which."""
    return {
        f"{name}_{suffix}": None if value is None else round(value / metres, 3) + 0.0
        for name, value in lengths_m.items()
        for suffix, metres in UNITS.items()
    }


def _angle(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def _cell(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return safe_text(value)
    return f"{value:.3f}" if isinstance(value, float) else str(value)
