"""Field records for other programs: CSV, and GeoJSON of those that have a position."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from fieldapp.formats.csv_lines import Cell, csv_line, safe_text
from fieldapp.formats.geojson import feature_collection, point_feature
from fieldapp.formats.records import moment_text
from fieldapp.formats.tape_export import TAPE_COLUMNS, TAPE_DECIMALS, tape_cells
from fieldapp.model import (
    Capture,
    CheckIn,
    FieldRecord,
    Fix,
    HeldRecord,
    Mark,
    MarkNow,
    Morning,
    PegReport,
    PlaceRead,
    StoodReading,
    Taped,
    Trial,
    YardageCheck,
)

YARDAGE_FIGURES = (
    "measured_m", "range95_m", "planned_m", "difference_m", "tolerance_m", "reading95_m", "tee95_m", "grid95_m",
    "off_line_m", "own_line_m", "line_effect_m", "edge_slope",
)  # fmt: skip
COLUMNS = (
    "sequence", "id", "kind", "site", "hole", "bunker", "outline", "part", "number", "revision",
    "target_x_m", "target_y_m", "made_at", "received_at", "person", "device", "practice", "receiver",
    "lat_deg", "lon_deg", "accuracy_m", "radius95_m", "radius95_basis", "age_s",
    "course_x_m", "course_y_m", "off_m", "verdict", "undoes", "undone_by", "remarks",
    "came_by", "reading_lat_deg", "reading_lon_deg", "reading_radius95_m", "reading_radius95_basis",
    "reading_seconds", "reading_fixes", "reading_left_out", "check_in", "check_in_age_s",
    "peg", "peg_x_m", "peg_y_m", "shift_x_m", "shift_y_m",
    "trial_seconds", "trial_fixes", "trial_accuracy_m", "trial_scatter_m", "trial_parts", "trial_spread",
    "trial_offset_x_m", "trial_offset_y_m", "trial_offset_radius95_m",
    "yardage_tee", "yardage_tee_x_m", "yardage_tee_y_m", "yardage_figure", "yardage_basis",
    "yardage_measured_m", "yardage_range95_m", "yardage_planned_m", "yardage_difference_m", "yardage_tolerance_m",
    "yardage_reading95_m", "yardage_tee95_m", "yardage_grid95_m",
    "yardage_off_line_m", "yardage_own_line_m", "yardage_line_effect_m", "yardage_edge_slope",
    "yardage_settle", *TAPE_COLUMNS, "place_what", "place_name",
    "now_revision", "now_state", "now_off_m",
)  # fmt: skip
DECIMALS = {
    **dict.fromkeys(("lat_deg", "lon_deg", "reading_lat_deg", "reading_lon_deg"), 10),
    **dict.fromkeys(("target_x_m", "target_y_m", "course_x_m", "course_y_m", "off_m"), 4),
    **dict.fromkeys(("peg_x_m", "peg_y_m", "shift_x_m", "shift_y_m"), 4),
    **dict.fromkeys(("trial_scatter_m", "trial_offset_x_m", "trial_offset_y_m"), 4),
    **dict.fromkeys(("reading_radius95_m", "trial_offset_radius95_m"), 4),
    **dict.fromkeys(("yardage_tee_x_m", "yardage_tee_y_m"), 4),
    **dict.fromkeys((f"yardage_{name}" for name in YARDAGE_FIGURES), 4),
    **TAPE_DECIMALS,
    "now_off_m": 4,
}
NOTHING_OLD: Mapping[str, MarkNow] = {}


def records_csv(held: Iterable[HeldRecord], now: Mapping[str, MarkNow] = NOTHING_OLD) -> Iterator[str]:
    """Yield CSV lines, the names first. Text that a spreadsheet might run gets a ' before it.

    `now` says of marks of older revisions, by their ids, how they lie against the plan that stands.
    """
    yield csv_line(COLUMNS)
    for item in held:
        row = _row(item) | _now_cells(now.get(item.record.id))
        yield csv_line([_cell(name, row.get(name)) for name in COLUMNS])


def records_geojson(held: Iterable[HeldRecord], now: Mapping[str, MarkNow] = NOTHING_OLD) -> Iterator[str]:
    """Yield a FeatureCollection piece by piece: a Point for every mark, check-in, check, peg and place with a position.

    That is the reading's where the phone made one, else the last fix's. `now` as in `records_csv`.
    """
    placed = ((item, _position(item.record)) for item in held)
    return feature_collection(
        point_feature(at.lon_deg, at.lat_deg, _properties(_row(item) | _now_cells(now.get(item.record.id))))
        for item, at in placed
        if at is not None
    )


def _position(record: FieldRecord) -> Fix | StoodReading | None:
    if isinstance(record, Mark):
        return record.position
    return record.reading if isinstance(record, CheckIn | YardageCheck | PegReport | PlaceRead) else None


def _row(item: HeldRecord) -> dict[str, Cell]:
    record = item.record
    row: dict[str, Cell] = {
        "sequence": item.sequence,
        "id": record.id,
        "kind": record.kind,
        "site": record.site,
        "hole": record.hole,
        "made_at": moment_text(record.made_at),
        "received_at": moment_text(item.received_at),
        "person": record.person,
        "device": record.device,
        "practice": record.practice,
        "off_m": item.off_m,
        "undone_by": item.undone_by,
        "remarks": item.remarks,
        "came_by": item.came_by,
    }
    if item.course_xy is not None:
        row["course_x_m"], row["course_y_m"] = item.course_xy
    return row | _own_cells(record)


def _now_cells(now: MarkNow | None) -> dict[str, Cell]:
    if now is None:
        return {}
    return {"now_revision": now.revision, "now_state": now.state, "now_off_m": now.off_m}


def _own_cells(record: FieldRecord) -> dict[str, Cell]:
    if isinstance(record, Mark):
        return _mark_cells(record) | _reading_cells(record.reading)
    if isinstance(record, CheckIn):
        shift: dict[str, Cell] = {"shift_x_m": record.shift_x_m, "shift_y_m": record.shift_y_m}
        return _peg_cells(record) | _reading_cells(record.reading) | shift
    if isinstance(record, Trial):
        return _peg_cells(record) | _trial_cells(record)
    if isinstance(record, YardageCheck):
        return _yardage_cells(record) | _reading_cells(record.reading)
    if isinstance(record, PegReport):
        return tape_cells(record) | _reading_cells(record.reading)
    if isinstance(record, PlaceRead):
        named: dict[str, Cell] = {"place_what": record.what, "place_name": record.name}
        return named | {"receiver": record.receiver, "note": record.note} | _reading_cells(record.reading)
    if isinstance(record, Taped | Capture | Morning):
        return tape_cells(record)
    return {"undoes": record.undoes}


def _reading_cells(reading: StoodReading | None) -> dict[str, Cell]:
    if reading is None:
        return {}
    names = ("lat_deg", "lon_deg", "radius95_m", "radius95_basis", "seconds", "fixes", "left_out")
    cells: dict[str, Cell] = {f"reading_{name}": getattr(reading, name) for name in names}
    return cells | {"check_in": reading.check_in, "check_in_age_s": reading.check_in_age_s}


def _peg_cells(record: CheckIn | Trial) -> dict[str, Cell]:
    return {
        "receiver": record.receiver,
        "peg": record.peg,
        "peg_x_m": record.peg_x,
        "peg_y_m": record.peg_y,
    }


def _trial_cells(trial: Trial) -> dict[str, Cell]:
    """The parts are written as share:seconds with spaces between, such as 0.6:0 0.4:60."""
    names = (
        "seconds", "fixes", "accuracy_m", "scatter_m", "spread", "offset_x_m", "offset_y_m", "offset_radius95_m",
    )  # fmt: skip
    cells: dict[str, Cell] = {f"trial_{name}": getattr(trial, name) for name in names}
    return cells | {"trial_parts": " ".join(f"{share:g}:{time_s:g}" for share, time_s in trial.parts)}


def _yardage_cells(check: YardageCheck) -> dict[str, Cell]:
    target = check.target
    cells: dict[str, Cell] = {f"yardage_{name}": getattr(check, name) for name in YARDAGE_FIGURES}
    return cells | {
        "bunker": target.bunker,
        "revision": target.revision,
        "receiver": check.receiver,
        "verdict": check.verdict,
        "yardage_tee": target.tee,
        "yardage_tee_x_m": target.tee_x,
        "yardage_tee_y_m": target.tee_y,
        "yardage_figure": target.figure,
        "yardage_basis": target.basis,
        "yardage_settle": check.settle,
    }


def _mark_cells(mark: Mark) -> dict[str, Cell]:
    target = mark.target
    cells: dict[str, Cell] = {
        "bunker": target.bunker,
        "outline": target.outline,
        "part": target.part,
        "number": target.number,
        "revision": target.revision,
        "target_x_m": target.x,
        "target_y_m": target.y,
        "receiver": mark.receiver,
        "verdict": mark.verdict,
    }
    if mark.fix is None:
        return cells
    return cells | {
        name: getattr(mark.fix, name)
        for name in ("lat_deg", "lon_deg", "accuracy_m", "radius95_m", "radius95_basis", "age_s")
    }


def _properties(row: dict[str, Cell]) -> dict[str, Cell]:
    return {name: _rounded(name, row.get(name)) for name in COLUMNS}


def _rounded(name: str, value: Cell) -> Cell:
    return round(value, DECIMALS[name]) if isinstance(value, float) and name in DECIMALS else value


def _cell(name: str, value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:.{DECIMALS[name]}f}" if name in DECIMALS else repr(value)
    return safe_text(value) if isinstance(value, str) else str(value)
