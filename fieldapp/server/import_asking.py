"""What is asked of an import: how its numbers are read, what its layers become, and of which bunker."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, cast

from fieldapp.errors import RecordError
from fieldapp.formats.json_fields import (
    Json,
    read_name,
    read_number,
    read_object,
    read_one_of,
    read_text,
    read_whole,
)
from fieldapp.model.drawing_reading import (
    AXIS_ORDERS,
    BY_PEGS,
    COURSE,
    DRAWING_UNITS,
    LONLAT,
    AxisOrder,
    DrawingReading,
    Tie,
)
from fieldapp.workflow.drawing_placing import MOST_TIES
from fieldapp.workflow.drawing_uses import LEAVE_OUT, USES, Uses

EPSG = re.compile(r"(?:EPSG:)?(\d{4,6})", re.IGNORECASE)
PUBLISHED = "published"
SYSTEMS = (COURSE, LONLAT, PUBLISHED, BY_PEGS)
MOST_CLEARANCE_M = 100.0
NO_CODE = "'{code}' is no EPSG code; give its number, such as 3006, as the drawing's own notes have it."
NO_PLACE = (
    "'{text}' is no place of the drawing; give its two numbers as the drawing has them, such as 12.5, 48.2."
)


@dataclass(frozen=True)
class ImportAsked:
    """What is asked; `reading` is None where nothing was said of it yet, `faults` says what could not be read."""

    reading: DrawingReading | None
    uses: Uses
    bunker_id: str = ""
    bunker_name: str = ""
    person: str = ""
    typed: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[str, ...] = ()


def read_system(text: str, code: str) -> str:
    """Return the system asked for; a published one by its code. Raises RecordError."""
    if text != PUBLISHED:
        return text
    found = EPSG.fullmatch(code.strip())
    if found is None:
        raise RecordError(NO_CODE.format(code=code.strip()[:40]))
    return f"EPSG:{found[1]}"


def read_reading(item: Json) -> DrawingReading:
    """Read how a drawing is read from JSON; raises RecordError."""
    system = read_text(item, "system")
    if system not in (COURSE, LONLAT, BY_PEGS):
        system = read_system(PUBLISHED, system)
    ties = item.get("ties", [])
    if not isinstance(ties, list) or len(ties) > MOST_TIES or not all(isinstance(tie, dict) for tie in ties):
        raise RecordError(f"'ties' must be a list of at most {MOST_TIES} objects with 'x', 'y' and 'mark'.")
    return DrawingReading(
        system,
        read_one_of(item, "unit", DRAWING_UNITS),
        cast(AxisOrder, read_one_of(item, "order", AXIS_ORDERS)),
        tuple(Tie(read_number(tie, "x"), read_number(tie, "y"), read_name(tie, "mark")) for tie in ties),
    )


def read_import_asked(document: object) -> tuple[int, ImportAsked]:
    """Read the hole and what is asked from the body of a request; raises RecordError in words."""
    if not isinstance(document, dict):
        raise RecordError("The body must be a JSON object.")
    layers, clearances = document.get("layers", {}), document.get("clearances_m", {})
    if not isinstance(layers, dict) or not isinstance(clearances, dict):
        raise RecordError("'layers' and 'clearances_m' must be objects with the names of layers.")
    left_out = document.get("left_out", [])
    if not isinstance(left_out, list) or not all(isinstance(one, int) for one in left_out):
        raise RecordError("'left_out' must be a list of the numbers of lines.")
    bunker = read_object(document, "bunker") if "bunker" in document else {}
    uses = Uses(
        {layer: read_one_of(layers, layer, USES) for layer in layers},
        {layer: read_number(clearances, layer, 0.0, MOST_CLEARANCE_M) for layer in clearances},
        frozenset(left_out),
    )
    return read_whole(document, "hole"), ImportAsked(
        read_reading(read_object(document, "reading")) if "reading" in document else None,
        uses,
        read_text(bunker, "id") if "id" in bunker else "",
        read_text(bunker, "name") if "name" in bunker else "",
        read_text(document, "person") if "person" in document else "",
    )


def read_import_form(form: Mapping[str, str], layers: Sequence[str]) -> ImportAsked:
    """Read what a form or an address of the page asks; what cannot be read is told in `faults`."""
    faults: list[str] = []
    reading = _form_reading(form, faults) if "system" in form else None
    uses, clearances = {}, {}
    for at, layer in enumerate(layers):
        use = form.get(f"use-{at}", LEAVE_OUT)
        uses[layer] = use if use in USES else LEAVE_OUT
        text = form.get(f"clear-{at}", "").strip().replace(",", ".")
        length = _number(text)
        if length is not None and 0 <= length <= MOST_CLEARANCE_M:
            clearances[layer] = length
        elif text:
            faults.append(f"'{text[:40]}' is no clearance for layer '{layer}'; give metres from 0 to 100.")
    out = (
        key.removeprefix("out-") for key, value in form.items() if key.startswith("out-") and value == "yes"
    )
    left_out = frozenset(int(one) for one in out if one.isdecimal() and len(one) < 7)
    return ImportAsked(
        reading,
        Uses(uses, clearances, left_out),
        form.get("bunker-id", "").strip() if form.get("bunker", "new") == "new" else form["bunker"],
        form.get("bunker-name", "").strip(),
        form.get("person", "").strip(),
        form,
        tuple(faults),
    )


def _form_reading(form: Mapping[str, str], faults: list[str]) -> DrawingReading | None:
    try:
        system = read_system(read_one_of(cast(Json, form), "system", SYSTEMS), form.get("epsg", ""))
        unit = read_one_of(cast(Json, form), "unit", DRAWING_UNITS)
        order = cast(AxisOrder, read_one_of(cast(Json, form), "order", AXIS_ORDERS))
    except RecordError as fault:
        faults.append(str(fault))
        return None
    return DrawingReading(system, unit, order, tuple(_form_ties(form, faults)) if system == BY_PEGS else ())


def _form_ties(form: Mapping[str, str], faults: list[str]) -> list[Tie]:
    ties = []
    for row in range(1, MOST_TIES + 1):
        text, mark = form.get(f"place-{row}", "").strip(), form.get(f"mark-{row}", "").strip()
        if not text or not mark:
            continue
        numbers = [_number(one) for one in re.split(r"[;\s]+|,(?=\s)|,", text) if one]
        if len(numbers) != 2 or None in numbers:
            faults.append(NO_PLACE.format(text=text[:40]))
        else:
            ties.append(Tie(cast(float, numbers[0]), cast(float, numbers[1]), mark))
    return ties


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) and abs(number) < 1e12 else None


def reading_document(reading: DrawingReading) -> dict[str, Any]:
    """Return a reading as JSON."""
    return {
        "system": reading.system,
        "unit": reading.unit,
        "order": reading.order,
        "ties": [vars(tie) for tie in reading.ties],
    }
