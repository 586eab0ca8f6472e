"""The yardage table of a hole for other programs: one JSON document, or CSV with a line for each bunker and tee.

Every length is there twice, in metres (`_m`) and in yards (`_yd`), to 0.01; angles end in `_deg`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from fieldapp.formats.csv_lines import csv_line, safe_text
from fieldapp.model import Hole, Site
from fieldapp.model.units import METRES_PER_YARD
from fieldapp.play.carry import Shot
from fieldapp.play.hole_yardages import AimLine, BunkerFromTee, Compared, carry_with

FORMAT = "fieldapp-yardages"
VERSION = 1
FIGURES = (
    "Level distances on the ground from the tee plate. Straight, along and offset are of the bunker's "
    "middle, along_near and along_far of its sand edge; along and offset are measured on the tee's line"
    " of play, round its turning points. Reach is to the first sand, carry to the end of the last sand,"
    " clear is carry and landing allowance. The shot on_line follows the line of play, to_middle goes "
    "straight at the middle, on_aim along the aim line; one that misses passes beside the sand. A "
    "bunker that is_behind has no sand ahead of the plate; shots at it go back. Nearest and furthest "
    "are of its sand from the plate, whatever the aim. Offset and passes are positive to the right. "
    "Width is square to the shot; room is square to the line of play, the least beside the bunker. "
    "Slope_more is what a rangefinder reads more to the front edge, grid_more what the straight "
    "distance is more on the course grid. The plan's reach and carry are compared with the shot "
    "to_middle; difference is computed less planned. No figure is a measurement; within is the 95 % "
    "radius of a plate's place, where none is given it is taken as exact."
)
UNITS = {"m": 1.0, "yd": METRES_PER_YARD}
PLACES = (
    "straight", "along", "offset", "along_near", "along_far", "nearest", "furthest",
    "room", "slope_more", "grid_more",
)  # fmt: skip
SHOTS = ("on_line", "to_middle", "on_aim")
SHOT_LENGTHS = ("reach", "carry", "clear", "width", "passes")
PLANNED = ("reach", "carry", "along", "offset")
TEXTS = (
    "site", "hole", "bunker", "bunker_name", "revision", "tee", "tee_name",
    "is_behind", "slant_deg", "far_end", "slant", "room_to",
)  # fmt: skip
LENGTHS = (
    *PLACES,
    *(f"{shot}_{name}" for shot in SHOTS for name in SHOT_LENGTHS),
    *(f"{what}_{name}" for name in PLANNED for what in ("planned", "difference")),
    "plan_tolerance", "aim_at", "aim_offset", "landing_allowance", "tee_within",
)  # fmt: skip
COLUMNS = (*TEXTS, *(f"{name}_{suffix}" for name in LENGTHS for suffix in UNITS))

Json = dict[str, Any]
Cell = str | float | None


@dataclass(frozen=True)
class YardageTable:
    """The rows of one hole, with the aim line and the landing allowance (ground metres) that they were asked for."""

    site: Site
    hole: Hole
    rows: tuple[BunkerFromTee, ...]
    aim: AimLine | None = None
    allowance_m: float = 0.0


def yardage_json(table: YardageTable) -> Json:
    """Return the table as a JSON-ready object."""
    site, hole, aim = table.site, table.hole, table.aim
    return {
        "format": FORMAT,
        "version": VERSION,
        "figures": FIGURES,
        "site": {"id": site.id, "name": site.name},
        "hole": {"number": hole.number, "name": hole.name},
        "tees": [
            {"id": tee.id, "name": tee.name, **_lengths({"within": tee.within_m})}
            for tee in site.tees_of(hole.number)
        ],
        "aim_line": None if aim is None else _lengths({"at": aim.at_m, "offset": aim.offset_m}),
        **_lengths({"landing_allowance": table.allowance_m}),
        "rows": [_row(row, table.allowance_m) for row in table.rows],
    }


def yardage_csv(table: YardageTable) -> Iterator[str]:
    """Yield CSV lines, the names first; what is not there is empty. A shot's stretches of sand are only in the JSON."""
    yield csv_line(COLUMNS)
    for row in table.rows:
        cells = _texts(table, row) | _lengths(_flat(table, row))
        yield csv_line([_cell(cells[name]) for name in COLUMNS])


def _row(row: BunkerFromTee, allowance_m: float) -> Json:
    bunker = row.bunker.bunker
    places_m = {name: getattr(row, f"{name}_m") for name in PLACES}
    return {
        "bunker": bunker.id,
        "bunker_name": bunker.name,
        "revision": bunker.revision,
        "tee": row.tee.id,
        "is_behind": row.is_behind,
        **_lengths(places_m),
        **{name: _shot(getattr(row, name), allowance_m) for name in SHOTS},
        "room_to": row.room_to,
        "slant_deg": round(row.slant_deg, 1),
        "far_end": row.far_end,
        "slant": row.slant_words,
        "compared": [_compared(one) for one in row.compared],
    }


def _shot(shot: Shot | None, allowance_m: float) -> Json | None:
    if shot is None:
        return None
    ways = [_lengths({"begin": begin, "end": end}) for begin, end in shot.stretches_m]
    figures_m = _lengths(_shot_lengths(shot, allowance_m))
    return {"course_bearing_deg": round(shot.bearing_deg, 2), **figures_m, "stretches": ways}


def _shot_lengths(shot: Shot | None, allowance_m: float) -> dict[str, float | None]:
    return {
        "reach": None if shot is None else shot.reach_m,
        "carry": carry_with(shot, 0.0),
        "clear": carry_with(shot, allowance_m),
        "width": None if shot is None else shot.width_m,
        "passes": None if shot is None else shot.passes_m,
    }


def _compared(one: Compared) -> Json:
    names = ("planned", "computed", "difference", "tolerance")
    return {"figure": one.name} | _lengths({name: getattr(one, f"{name}_m") for name in names})


def _texts(table: YardageTable, row: BunkerFromTee) -> dict[str, Cell]:
    bunker = row.bunker.bunker
    cells = (
        table.site.id, table.hole.number, bunker.id, bunker.name, bunker.revision, row.tee.id, row.tee.name,
        "yes" if row.is_behind else "no", round(row.slant_deg, 1), row.far_end, row.slant_words, row.room_to,
    )  # fmt: skip
    return dict(zip(TEXTS, cells, strict=True))


def _flat(table: YardageTable, row: BunkerFromTee) -> dict[str, float | None]:
    """Return every length of a line of CSV by its name, metres."""
    compared = {one.name: one for one in row.compared}
    aim = table.aim
    lengths_m: dict[str, float | None] = {name: getattr(row, f"{name}_m") for name in PLACES}
    for shot in SHOTS:
        figures_m = _shot_lengths(getattr(row, shot), table.allowance_m)
        lengths_m |= {f"{shot}_{name}": value for name, value in figures_m.items()}
    for name in PLANNED:
        for what in ("planned", "difference"):
            lengths_m[f"{what}_{name}"] = getattr(compared.get(name), f"{what}_m", None)
    lengths_m["plan_tolerance"] = row.compared[0].tolerance_m if row.compared else None
    lengths_m["aim_at"], lengths_m["aim_offset"] = (None, None) if aim is None else (aim.at_m, aim.offset_m)
    return lengths_m | {"landing_allowance": table.allowance_m, "tee_within": row.tee.within_m}


def _lengths(lengths_m: dict[str, float | None]) -> dict[str, Cell]:
    """Return lengths in metres and in yards, each to 0.01 of its unit, under names that say which."""
    return {
        f"{name}_{suffix}": None if value_m is None else round(value_m / metres, 2) + 0.0
        for name, value_m in lengths_m.items()
        for suffix, metres in UNITS.items()
    }


def _cell(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return safe_text(value)
    return f"{value:.2f}" if isinstance(value, float) else str(value)
