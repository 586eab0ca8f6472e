"""`fieldapp yardage`: how far a place is from a tee, or the yardage table of a hole."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Annotated, Any

import typer

from fieldapp.errors import InputError
from fieldapp.formats.site_folder import load_checked_site
from fieldapp.formats.typed_length import typed_length_m
from fieldapp.formats.yardage_limits import AIM_ALONG, AIM_ASIDE, ALLOWANCE
from fieldapp.formats.yardage_table import YardageTable, yardage_csv, yardage_json
from fieldapp.model.units import METRES_PER_YARD, YardageUnit
from fieldapp.play.hole_yardages import AimLine
from fieldapp.workflow.hole_table import hole_table
from fieldapp.workflow.set_out import yardage_at

EITHER_WAY = "give --tee ID and --at LAT,LON for one place, or --hole N for the table of a hole, not both."


def _format(text: str) -> str:
    if text in TABLE_FORMATS:
        return text
    raise typer.BadParameter(f"'{text}' is no format; give {' or '.join(TABLE_FORMATS)}.")


def _hole(text: str) -> int:
    if text.isdecimal() and text.isascii() and len(text) < 4:
        return int(text)
    raise typer.BadParameter(f"'{text}' is no hole; give its number, such as 4.")


def yardage(
    site_dir: Annotated[Path, typer.Argument(metavar="SITE_DIR", help="folder that holds a site.toml")],
    tee: Annotated[str | None, typer.Option(metavar="ID", help="tee to measure a place from")] = None,
    at: Annotated[
        str | None, typer.Option(metavar="LAT,LON", help="the place, degrees, south and west negative")
    ] = None,
    hole: Annotated[
        int | None, typer.Option(parser=_hole, metavar="N", help="hole whose table is wanted")
    ] = None,
    format: Annotated[
        str | None, typer.Option(parser=_format, metavar="json|csv", help="of the table; json")
    ] = None,
    aim_at: Annotated[
        str | None, typer.Option(metavar="D", help="aim line: so far along, such as 240 or 240yd or 220m")
    ] = None,
    aim_offset: Annotated[
        str | None,
        typer.Option(metavar="D", help="aim line: so far right of the line of play, left negative"),
    ] = None,
    allowance: Annotated[
        str | None, typer.Option(metavar="D", help="landing allowance behind the sand")
    ] = None,
) -> None:
    """Write level yardages: of a place from a tee (--tee, --at), or a hole's bunkers from all its tees (--hole)."""
    asked = {"--format": format, "--aim-at": aim_at, "--aim-offset": aim_offset, "--allowance": allowance}
    if hole is not None and tee is None and at is None:
        pieces = _table(site_dir, hole, format or "json", aim_at, aim_offset, allowance)
    elif hole is None and tee is not None and at is not None:
        _refuse_any(asked)
        pieces = _place_yardage(site_dir, tee, at)
    else:
        raise InputError(EITHER_WAY)
    sys.stdout.writelines(pieces)


def _table(
    site_dir: Path,
    hole: int,
    format: str,
    aim_at: str | None,
    aim_offset: str | None,
    allowance: str | None,
) -> Iterable[str]:
    if aim_offset is not None and aim_at is None:
        raise InputError("--aim-offset needs --aim-at, how far along the line of play it is meant.")
    site, grid = load_checked_site(site_dir)
    unit = site.units.yardage
    aim = None if aim_at is None else _aim(aim_at, aim_offset or "0", unit)
    allowance_m = typed_length_m(allowance or "0", unit, "--allowance", *ALLOWANCE.in_metres(unit))
    return TABLE_FORMATS[format](hole_table(site, grid, hole, aim, allowance_m))


def _aim(at: str, offset: str, unit: YardageUnit) -> AimLine:
    _, aside_m = AIM_ASIDE.in_metres(unit)
    return AimLine(
        typed_length_m(at, unit, "--aim-at", *AIM_ALONG.in_metres(unit)),
        typed_length_m(offset, unit, "--aim-offset", -aside_m, aside_m),
    )


def _refuse_any(asked: dict[str, str | None]) -> None:
    for option, given in asked.items():
        if given is not None:
            raise InputError(f"{option} belongs to --hole, the table of a hole; {EITHER_WAY}")


def _place_yardage(site_dir: Path, tee: str, at: str) -> Iterator[str]:
    lat_deg, lon_deg = _place(at)
    site, grid = load_checked_site(site_dir)
    found = yardage_at(site, grid, tee, lat_deg, lon_deg)
    lengths_m = {"straight": found.straight_m, "along": found.along_m, "offset": found.offset_m}
    figures = {f"{name}_m": round(value, 4) for name, value in lengths_m.items()}
    figures |= {f"{name}_yd": round(value / METRES_PER_YARD, 4) for name, value in lengths_m.items()}
    return _json(figures)


def _place(text: str) -> tuple[float, float]:
    try:
        lat_deg, lon_deg = (float(part) for part in text.split(","))
    except ValueError:
        raise InputError(
            f"'{text}' is no place; give --at as LAT,LON in degrees, such as --at 55.12345,-1.54321."
        ) from None
    return lat_deg, lon_deg


def _json(document: dict[str, Any]) -> Iterator[str]:
    yield json.dumps(document, allow_nan=False, ensure_ascii=False, indent=2)
    yield "\n"


def _table_json(table: YardageTable) -> Iterator[str]:
    return _json(yardage_json(table))


TABLE_FORMATS = {"json": _table_json, "csv": yardage_csv}
