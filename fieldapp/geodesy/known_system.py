"""A published coordinate system, found by what a drawing says of it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pyproj import CRS
from pyproj.exceptions import CRSError

LONGEST_TEXT = 20_000
LEAST_LIKENESS = 70
"""How sure PROJ has to be, of 100, that a description is a system of its list."""
_CODE = re.compile(r"(?:urn:ogc:def:crs:)?EPSG:[\d.]*:?(\d{4,6})", re.IGNORECASE)
_LONLAT = re.compile(r"(?:urn:ogc:def:crs:)?OGC:[\d.]*:?CRS84", re.IGNORECASE)
_WKT = re.compile(
    r"\s*(?:PROJCS|PROJCRS|GEOGCS|GEOGCRS|GEODCRS|COMPD_CS|COMPOUNDCRS|BOUNDCRS)\s*[\[(]", re.IGNORECASE
)


@dataclass(frozen=True)
class KnownSystem:
    """A system: its name, its code as "EPSG:n" where it is known, whether it is in degrees, and metres per unit.

    `metres_per_unit` is None for degrees.
    """

    name: str
    code: str | None
    is_lonlat: bool
    metres_per_unit: float | None


def known_system(text: str) -> KnownSystem | None:
    """Return the system that a text names: an EPSG code, a URN, or the text of a .prj file; None for anything else."""
    given = text.strip()[:LONGEST_TEXT]
    if _LONLAT.fullmatch(given):
        return KnownSystem("WGS 84 (CRS84)", "EPSG:4326", True, None)
    code = _CODE.fullmatch(given)
    if not code and not _WKT.match(given):
        return None
    try:
        crs = CRS.from_epsg(int(code[1])) if code else CRS.from_wkt(given)
        return _told(crs, f"EPSG:{code[1]}" if code else None)
    except (CRSError, ValueError):
        return None


def _told(crs: CRS, code: str | None) -> KnownSystem | None:
    if crs.is_bound and crs.source_crs is not None:
        crs = crs.source_crs
    if crs.is_compound:
        crs, code = crs.sub_crs_list[0], None
    if not (crs.is_projected or crs.is_geographic) or not crs.axis_info:
        return None
    found = code or _code_of(crs)
    factor = None if crs.is_geographic else float(crs.axis_info[0].unit_conversion_factor)
    return KnownSystem(crs.name, found, crs.is_geographic, factor)


def _code_of(crs: CRS) -> str | None:
    number = crs.to_epsg(min_confidence=LEAST_LIKENESS)
    return None if number is None else f"EPSG:{number}"


def system_text(code: str) -> str:
    """Return the text of a .prj file for an EPSG code, in the form that every program reads (ESRI's); empty if none."""
    try:
        return str(CRS.from_user_input(code).to_wkt("WKT1_ESRI"))
    except CRSError:
        return ""
