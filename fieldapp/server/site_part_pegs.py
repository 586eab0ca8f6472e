"""The pegs of a site being made: their places on the course, and for a fitted grid on the earth too."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldapp.formats.moments import moment_words
from fieldapp.formats.site_draft import Tables
from fieldapp.model import FittedGrid
from fieldapp.server.site_edit_contexts import Choice, Fault, Field, FieldRow
from fieldapp.server.site_part_rows import away_field, place_fields, read_rows, typed_spot
from fieldapp.server.site_typing import (
    COURSE,
    READ,
    SiteGround,
    by_choices,
    collect,
    degrees,
    length_words,
    pair_words,
    place_words,
    typed_length,
    typed_pair,
)

Form = Mapping[str, str]
Json = dict[str, Any]
PEG_KINDS = (
    Choice("reference", "reference, to measure from"),
    Choice("control", "control, its place is known"),
    Choice("paint", "paint, marks a point"),
)


def peg_rows(ground: SiteGround) -> tuple[FieldRow, ...]:
    """Return the form of the pegs."""
    pegs, suffix = ground.tables.get("peg", []), ground.ground_suffix
    rows = [
        FieldRow(f"Peg {peg.get('id', '')}", _peg_fields(ground, index, peg, suffix))
        for index, peg in enumerate(pegs)
    ]
    return (*rows, FieldRow("One more peg", _peg_fields(ground, len(pegs), {}, suffix), is_spare=True))


def _peg_fields(ground: SiteGround, index: int, peg: Json, suffix: str) -> tuple[Field, ...]:
    name = f"peg-{index}"
    position = pair_words((peg["lat_deg"], peg["lon_deg"])) if "lat_deg" in peg and "lon_deg" in peg else ""
    reads = (
        Choice(f"{READ}{place.id}", place_words(place))
        for place in reversed(ground.places)
        if place.what == "peg"
    )
    return (
        Field(f"{name}-was", "", str(peg.get("id", "")), "hidden"),
        Field(f"{name}-id", "name on the peg", str(peg.get("id", "")), hint="letters, figures, hyphens"),
        Field(f"{name}-kind", "kind", str(peg.get("kind", "reference")), "select", PEG_KINDS),
        *place_fields(name, peg, by_choices(ground, ("peg",))),
        Field(
            f"{name}-earth-by",
            "on the earth",
            "typed",
            "select",
            (Choice("typed", "as typed here"), *reads),
            is_wide=True,
        ),
        Field(
            f"{name}-earth", "latitude, longitude", position, hint="for a grid fitted to pegs", is_wide=True
        ),
        Field(f"{name}-height", f"height, {suffix}", length_words(peg, "height", suffix)),
        Field(f"{name}-level", f"level, {suffix}", length_words(peg, "level", suffix)),
        Field(
            f"{name}-within",
            f"known within, {suffix}",
            length_words(peg, "within", suffix),
            hint="empty: exact",
        ),
        Field(f"{name}-note", "note", str(peg.get("note", "")), is_wide=True),
        *away_field(f"{name}-away", bool(peg)),
    )


def read_pegs(ground: SiteGround, form: Form) -> tuple[Tables, list[Fault]]:
    """Return the tables with the pegs typed."""
    return read_rows(ground, form, "peg", _read_peg)


def _read_peg(ground: SiteGround, form: Form, name: str, old: Json, faults: list[Fault]) -> Json:
    peg_id = form.get(f"{name}-id", "").strip()
    if not peg_id:
        faults.append(Fault(f"{name}-id", "A peg has no name; type what stands on it, or take the peg away."))
        return old
    if isinstance(ground.reading.grid, FittedGrid) and form.get(f"{name}-by", COURSE) != COURSE:
        faults.append(
            Fault(
                f"{name}-by",
                "In a grid fitted to pegs a peg gets its x, y from the drawing, and its reading under latitude, "
                "longitude.",
            )
        )
        return old
    note = form.get(f"{name}-note", "").strip()
    earth, told = _typed_earth(ground, form, name, faults)
    note = f"{note} {told}".strip() if told not in note else note
    return {
        "id": peg_id,
        "kind": form.get(f"{name}-kind", "reference"),
        **typed_spot(ground, form, name, faults),
        **earth,
        **({"note": note} if note else {}),
    }


def _typed_earth(ground: SiteGround, form: Form, name: str, faults: list[Fault]) -> tuple[Json, str]:
    """Return the latitude, longitude and height of a peg, and what to tell of a reading they come from."""
    read = collect(faults, f"{name}-earth-by", ground.place_read, form.get(f"{name}-earth-by", ""))
    height = collect(
        faults,
        f"{name}-height",
        typed_length,
        form,
        f"{name}-height",
        "height",
        "the height",
        ground.ground_suffix,
    )
    if read is not None:
        position = {"lat_deg": degrees(read.reading.lat_deg), "lon_deg": degrees(read.reading.lon_deg)}
        radius_m = read.reading.radius95_m
        worth = "no figure of how well" if radius_m is None else f"within {radius_m:.1f} m"
        return position | (height or {}), f"Position read by phone {moment_words(read.made_at)}, {worth}."
    text = form.get(f"{name}-earth", "").strip()
    if not text:
        return height or {}, ""
    pair = collect(
        faults, f"{name}-earth", typed_pair, text, "the latitude and longitude", "53.60120, -5.00340"
    )
    return dict(zip(("lat_deg", "lon_deg"), pair or (), strict=False)) | (height or {}), ""
