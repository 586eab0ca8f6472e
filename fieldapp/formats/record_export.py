"""Field records for other programs: CSV, and GeoJSON of the marks that have a position."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator

from fieldapp.formats.geojson import feature_collection, point_feature
from fieldapp.formats.records import moment_text
from fieldapp.model import HeldRecord, Mark

COLUMNS = (
    "sequence", "id", "kind", "site", "hole", "bunker", "outline", "part", "number", "revision",
    "target_x_m", "target_y_m", "made_at", "received_at", "person", "device", "practice", "receiver",
    "lat_deg", "lon_deg", "accuracy_m", "radius95_m", "radius95_basis", "age_s",
    "course_x_m", "course_y_m", "off_m", "verdict", "undoes", "undone_by", "remarks",
)  # fmt: skip
DECIMALS = {
    "lat_deg": 10,
    "lon_deg": 10,
    "target_x_m": 4,
    "target_y_m": 4,
    "course_x_m": 4,
    "course_y_m": 4,
    "off_m": 4,
}
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")

Cell = str | int | float | bool | None


def records_csv(held: Iterable[HeldRecord]) -> Iterator[str]:
    """Yield CSV lines, the names first. Text that a spreadsheet might run gets a ' before it."""
    yield _line(COLUMNS)
    for item in held:
        row = _row(item)
        yield _line([_cell(name, row.get(name)) for name in COLUMNS])


def records_geojson(held: Iterable[HeldRecord]) -> Iterator[str]:
    """Yield a FeatureCollection piece by piece: a Point for every mark that has a position."""
    return feature_collection(
        point_feature(item.record.fix.lon_deg, item.record.fix.lat_deg, _properties(_row(item)))
        for item in held
        if isinstance(item.record, Mark) and item.record.fix is not None
    )


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
    }
    if item.course_xy is not None:
        row["course_x_m"], row["course_y_m"] = item.course_xy
    if isinstance(record, Mark):
        return row | _mark_cells(record)
    return row | {"undoes": record.undoes}


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
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return "'" + value
    return str(value)


def _line(cells: Iterable[str]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue()
