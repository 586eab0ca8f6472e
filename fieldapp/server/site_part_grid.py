"""The grid of a site being made: one of three ways to tie its x and y to the earth, each explained to a greenkeeper."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldapp.formats.site_draft import Tables, read_tables
from fieldapp.server.site_edit_contexts import Choice, Fault, Field, FieldRow
from fieldapp.server.site_typing import (
    READ,
    SiteGround,
    collect,
    degrees,
    figures,
    length_words,
    pair_words,
    place_words,
    typed_length,
    typed_number,
    typed_pair,
)

Form = Mapping[str, str]
OWN_GRID = (
    "Choose it where nobody has surveyed the course. It hangs on one place that will not move, such as a peg by the "
    "shed: stand on that peg for two minutes with the phone page of this site, and take the reading here. Everything "
    "else is measured from there."
)
COUNTRY_GRID = (
    "Choose it where drawings come from a surveyor with eastings and northings. Ask the surveyor for the code of the "
    "system; it looks like EPSG:27700."
)
FITTED_GRID = (
    "Choose it where drawings have an x and y of their own, and two or three pegs of the drawing stand on the ground. "
    "Under Pegs each of them gets its x, y from the drawing and its latitude and longitude. Three pegs check each "
    "other. Read by phone they disagree by some metres: allow that below, and the page says what the grid is worth."
)
READ_ORIGIN = (
    "The grid hangs on a place read by phone ({read}, 95 times in 100): all of it may lie off by as much "
    "together."
)
KIND_WORDS = {"local": "A grid of our own", "projected": "The country's grid", "fitted": "Fitted to pegs"}


def grid_fields(ground: SiteGround) -> tuple[FieldRow, ...]:
    """Return the form of the grid: its three ways, each with its own fields."""
    kind = ground.tables.get("grid", {}).get("kind", "")
    ways = (
        ("local", _local_fields(ground), OWN_GRID),
        ("projected", _projected_fields(ground), COUNTRY_GRID),
        ("fitted", _fitted_fields(ground), FITTED_GRID),
    )
    return tuple(
        FieldRow(KIND_WORDS[way], fields, words, _kind_field(way, kind)) for way, fields, words in ways
    )


def _local_fields(ground: SiteGround) -> tuple[Field, ...]:
    grid, suffix = ground.tables.get("grid", {}), ground.ground_suffix
    has_origin = "origin_lat_deg" in grid and "origin_lon_deg" in grid
    origin = pair_words((grid["origin_lat_deg"], grid["origin_lon_deg"])) if has_origin else ""
    is_local = grid.get("kind") == "local"
    xy = pair_words((grid.get("origin_x", 0), grid.get("origin_y", 0))) if is_local else "1000, 1000"
    height = length_words(grid, "origin_height", suffix)
    pegs = (place for place in reversed(ground.places) if place.what == "peg")
    reads = tuple(Choice(f"{READ}{place.id}", place_words(place)) for place in pegs)
    by = (Choice("earth", "latitude, longitude"), *reads)
    return (
        Field("origin-by", "the place it hangs on", "earth", "select", by, is_wide=True),
        Field("origin", "latitude, longitude", origin, hint="such as 53.60120, -5.00340", is_wide=True),
        Field(
            "origin_height",
            f"height, {suffix}",
            height,
            hint="above the ellipsoid, as a receiver gives it; 0 does",
        ),
        Field("origin_xy", "its x, y", xy, hint="round numbers, so large that nothing gets less than 0"),
        Field(
            "north_bearing_deg",
            "y points to, degrees",
            figures(grid.get("north_bearing_deg", 0)),
            hint="0: true north",
        ),
    )


def _projected_fields(ground: SiteGround) -> tuple[Field, ...]:
    grid, suffix = ground.tables.get("grid", {}), ground.ground_suffix
    error = length_words(grid, "accept_error", suffix)
    return (
        Field("crs", "code of the system", str(grid.get("crs", "")), hint="such as EPSG:27700"),
        _height_field(ground, "projected"),
        Field("accept_error", f"accept an error of, {suffix}", error, hint="only where the page asks for it"),
    )


def _fitted_fields(ground: SiteGround) -> tuple[Field, ...]:
    grid, suffix = ground.tables.get("grid", {}), ground.ground_suffix
    scales = (Choice("fixed", "true on the ground"), Choice("free", "as the pegs say"))
    return (
        Field("scale", "scale", grid.get("scale", "fixed"), "select", scales),
        Field(
            "max_residual",
            f"pegs may disagree by, {suffix}",
            length_words(grid, "max_residual", suffix),
            hint="0.10 m if left empty; by phone 5 m",
        ),
        _height_field(ground, "fitted"),
    )


def _height_field(ground: SiteGround, kind: str) -> Field:
    grid, suffix = ground.tables.get("grid", {}), ground.ground_suffix
    height = length_words(grid, "ground_height", suffix) if grid.get("kind") == kind else ""
    return Field(f"{kind}_height", f"height of the ground, {suffix}", height)


def _kind_field(value: str, chosen: str) -> Field:
    return Field("kind", KIND_WORDS[value], chosen, "radio", (Choice(value, KIND_WORDS[value]),))


def read_grid_form(ground: SiteGround, form: Form) -> tuple[Tables, list[Fault]]:
    """Return the tables with the grid typed; an origin read by phone is told in the site's note."""
    faults: list[Fault] = []
    kind = form.get("kind", "")
    if kind not in KIND_WORDS:
        return ground.tables, [Fault("kind", "Choose one of the three ways first.")]
    readers = {"local": _read_local, "projected": _read_projected, "fitted": _read_fitted}
    grid, note = readers[kind](ground, form, faults)
    tables = {**ground.tables, "grid": {"kind": kind, **grid}}
    if note:
        before = str(tables.get("note", ""))
        tables["note"] = f"{before} {note}".strip() if note not in before else before
    if not faults:
        found = (mistake for path, mistake in read_tables(tables).findings.located if path[:1] == ("grid",))
        faults += [
            Fault("kind", f"{mistake.what[:1].upper()}{mistake.what[1:]}; {mistake.remedy}.")
            for mistake in found
            if "is missing" not in mistake.what
        ]
    return tables, faults


def _read_local(ground: SiteGround, form: Form, faults: list[Fault]) -> tuple[dict[str, Any], str]:
    suffix, note = ground.ground_suffix, ""
    read = collect(faults, "origin-by", ground.place_read, form.get("origin-by", ""))
    grid: dict[str, Any] = {}
    if read is not None:
        grid |= {
            "origin_lat_deg": degrees(read.reading.lat_deg),
            "origin_lon_deg": degrees(read.reading.lon_deg),
        }
        note = READ_ORIGIN.format(read=place_words(read))
    elif form.get("origin", "").strip():
        pair = collect(
            faults,
            "origin",
            typed_pair,
            form["origin"],
            "the latitude and longitude",
            "53.60120, -5.00340",
        )
        grid |= dict(zip(("origin_lat_deg", "origin_lon_deg"), pair or (), strict=False))
    grid |= (
        collect(
            faults,
            "origin_height",
            typed_length,
            form,
            "origin_height",
            "origin_height",
            "the height",
            suffix,
        )
        or {}
    )
    if form.get("origin_xy", "").strip():
        pair = collect(faults, "origin_xy", typed_pair, form["origin_xy"], "its x, y", "1000, 1000")
        grid |= dict(zip(("origin_x", "origin_y"), pair or (), strict=False))
    bearing = collect(
        faults, "north_bearing_deg", typed_number, form, "north_bearing_deg", "the bearing of y"
    )
    return grid | ({"north_bearing_deg": bearing} if bearing is not None else {}), note


def _read_projected(ground: SiteGround, form: Form, faults: list[Fault]) -> tuple[dict[str, Any], str]:
    suffix, before = ground.ground_suffix, ground.tables.get("grid", {})
    grid: dict[str, Any] = {key: before[key] for key in ("gnss_crs", "epoch") if key in before}
    if form.get("crs", "").strip():
        grid["crs"] = form["crs"].strip()
    for name, key, what in (
        ("projected_height", "ground_height", "the height"),
        ("accept_error", "accept_error", "the error"),
    ):
        grid |= collect(faults, name, typed_length, form, name, key, what, suffix) or {}
    return grid, ""


def _read_fitted(ground: SiteGround, form: Form, faults: list[Fault]) -> tuple[dict[str, Any], str]:
    suffix = ground.ground_suffix
    grid: dict[str, Any] = {"scale": form.get("scale", "fixed")}
    for name, key, what in (
        ("max_residual", "max_residual", "how far pegs may disagree"),
        ("fitted_height", "ground_height", "the height"),
    ):
        grid |= collect(faults, name, typed_length, form, name, key, what, suffix) or {}
    return grid, ""
