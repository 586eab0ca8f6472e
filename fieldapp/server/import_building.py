"""Builds the page that brings a drawing in, once the drawing was read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

import numpy as np

from fieldapp.formats.drawing import Drawing
from fieldapp.model import Hole
from fieldapp.model.drawing_reading import BY_PEGS, COURSE, LONLAT, UNKNOWN_UNIT, DrawingReading
from fieldapp.server.hole_contexts import Choice
from fieldapp.server.hole_pages import choices, ground_of
from fieldapp.server.import_asking import PUBLISHED, ImportAsked
from fieldapp.server.import_contexts import LayerRow, LineRow, LookedAt, Questions, TieRow
from fieldapp.server.import_drawing import close_up, overview
from fieldapp.server.plan_sheet import FloatArray
from fieldapp.server.yardage_words import listed
from fieldapp.store.drafts import KeptDraft
from fieldapp.workflow.drawing_placing import MOST_TIES, PlacedDrawing, marks_of
from fieldapp.workflow.drawing_uses import CLEAR, LEAVE_OUT, USES, USUAL_CLEARANCE_M
from fieldapp.workflow.importing import ImportPreview, LayerFound
from fieldapp.workflow.sites import StandingSite

NEW = "new"
LEAST_TIE_ROWS = 3
MOST_LINES_LISTED = 12
MOST_PLACES = 300
KINDS = {
    "geojson": "GeoJSON",
    "csv": "CSV",
    "dxf": "DXF",
    "gpx": "GPX",
    "kml": "KML",
    "shapefile": "Shapefile",
}
UNITS = (
    ("metre", "metres"),
    ("foot", "feet"),
    ("us-survey-foot", "US survey feet"),
    ("yard", "yards"),
    ("centimetre", "centimetres"),
    ("millimetre", "millimetres"),
    ("inch", "inches"),
    ("kilometre", "kilometres"),
    (UNKNOWN_UNIT, "not known: the pegs find it"),
)
ORDERS = (
    ("xy", "x (east), then y (north); longitude first"),
    ("yx", "y (north), then x (east); latitude first"),
)
SYSTEMS = (
    (COURSE, "the course's own coordinates"),
    (LONLAT, "longitude and latitude"),
    (PUBLISHED, "a published system, by its EPSG code"),
    (BY_PEGS, "none of these: fit it by pegs"),
)


def looked_at(
    standing: StandingSite,
    hole: Hole,
    drawing: Drawing,
    asked: ImportAsked,
    looked: ImportPreview,
    bunker_id: str,
    newest: KeptDraft | None,
    bunkers: Sequence[tuple[str, str]],
) -> LookedAt:
    """Build what is shown of a drawing that was read; its outlines are of `bunker_id` so far, `newest` is its save.

    `bunkers` are the ids and names of those that stand or are being drawn on the hole.
    """
    ground = ground_of(standing, hole)
    drawn = None if looked.placed is None else overview(ground, looked.placed, asked.uses)
    is_new = bunker_id not in dict(bunkers) or asked.typed.get("bunker") == NEW
    things = looked.made.things if looked.made else ()
    faults = (*asked.faults, *looked.faults)
    return LookedAt(
        kind=KINDS[drawing.kind],
        says=(*drawing.reasons, *drawing.remarks),
        questions=_questions(standing, drawing, asked, looked),
        layers=tuple(_layer(at, layer, drawing, asked) for at, layer in enumerate(looked.layers)),
        told=looked.told,
        faults=faults,
        outcome=tuple(_outcome(looked)),
        overview=drawn[0] if drawn else None,
        brought=drawn[1] if drawn else (),
        close_up=None if looked.placed is None else close_up(ground, looked.placed, asked.uses),
        makes_outlines=bool(looked.made and looked.made.outlines),
        has_services=any(thing.is_service for thing in things),
        bunkers=choices([*bunkers, (NEW, "a new one")], NEW if is_new else bunker_id),
        bunker_is_new=is_new,
        bunker_id=asked.bunker_id or f"{hole.number}-new",
        bunker_name=asked.bunker_name,
        draft_number=newest.number if newest else 0,
        has_draft=newest is not None and newest.state == "open",
        may_keep=not faults and bool(looked.made and (looked.made.outlines or things)),
    )


def likely_bunker(
    standing: StandingSite, hole: Hole, placed: PlacedDrawing | None, looked: ImportPreview
) -> str:
    """Return the bunker of the hole whose middle lies within what is brought in, or near it; "" where none does."""
    if placed is None or looked.made is None or not looked.made.outlines:
        return ""
    used = {outline.shape for outline in looked.made.outlines}
    places = [
        _middle(np.array([(at.x, at.y) for at in line.shape.points]))
        for line in placed.lines
        if line.shape in used
    ]
    here = [bunker for bunker in standing.bunkers if bunker.bunker.hole == hole.number]
    if not places or not here:
        return ""
    away = [min(float(np.hypot(*(np.array(bunker.middle) - place))) for place in places) for bunker in here]
    nearest = int(np.argmin(away))
    return here[nearest].bunker.id if away[nearest] < 15.0 else ""


def _middle(xy: FloatArray) -> FloatArray:
    return np.asarray((xy.min(axis=0) + xy.max(axis=0)) / 2)


def _questions(
    standing: StandingSite, drawing: Drawing, asked: ImportAsked, looked: ImportPreview
) -> Questions:
    reading, guess = looked.reading, looked.guess
    is_published = reading.system not in (COURSE, LONLAT, BY_PEGS)
    system = PUBLISHED if is_published else reading.system
    said = next((one for one in (drawing.system or "").split() if one.startswith("EPSG:")), "")
    return Questions(
        systems=choices(SYSTEMS, asked.typed.get("system", system)),
        system_why=guess.system_why,
        code=asked.typed.get("epsg") or (reading.system if is_published else said),
        by_pegs=system == BY_PEGS,
        published=system == PUBLISHED,
        units=choices(UNITS, reading.unit),
        unit_why=guess.unit_why,
        orders=choices(ORDERS, reading.order),
        order_why=guess.order_why,
        ties=_ties(standing, asked, reading),
        spots=tuple(islice(_named_places(drawing), MOST_PLACES)),
    )


def _named_places(drawing: Drawing) -> Iterator[tuple[str, str]]:
    """Yield places of a drawing in its own numbers, to choose from, and what is there: spots, then points of lines."""
    for spot in drawing.spots:
        yield f"{spot.x!r}, {spot.y!r}", spot.name or spot.layer
    for index, line in enumerate(drawing.lines):
        for number, point in enumerate(line.points, 1):
            yield (
                f"{point.x!r}, {point.y!r}",
                f"{line.name or f'line {index + 1}'} of {line.layer}, point {number}",
            )


def _ties(standing: StandingSite, asked: ImportAsked, reading: DrawingReading) -> tuple[TieRow, ...]:
    filled = sum(1 for key, value in asked.typed.items() if key.startswith("place-") and value.strip())
    rows = []
    for number in range(1, min(max(LEAST_TIE_ROWS, filled + 1), MOST_TIES) + 1):
        chosen = asked.typed.get(f"mark-{number}", "")
        marks = (
            Choice("", "choose", not chosen),
            *choices([(one, one) for one in marks_of(standing)], chosen),
        )
        rows.append(TieRow(number, asked.typed.get(f"place-{number}", ""), marks))
    return tuple(rows) if reading.system == BY_PEGS else ()


def _layer(at: int, layer: LayerFound, drawing: Drawing, asked: ImportAsked) -> LayerRow:
    use = asked.uses.of(layer.name)
    named = [(one, one or "leave out") for one in USES]
    lines = [(index, line) for index, line in enumerate(drawing.lines) if line.layer == layer.name]
    listed_lines = lines if use != LEAVE_OUT and 1 < len(lines) <= MOST_LINES_LISTED else []
    return LayerRow(
        index=at,
        name=layer.name or "without a name",
        found=_found_words(layer),
        uses=choices(named, use),
        is_clear=use.startswith(CLEAR),
        clearance=asked.typed.get(f"clear-{at}", f"{USUAL_CLEARANCE_M:g}"),
        lines=tuple(
            LineRow(
                index,
                _line_words(index, line.name, line.closed, len(line.points)),
                index in asked.uses.left_out,
            )
            for index, line in listed_lines
        ),
    )


def _found_words(layer: LayerFound) -> str:
    found = []
    if layer.lines:
        found.append(f"{layer.lines:,} {'line' if layer.lines == 1 else 'lines'}, {layer.closed:,} closed")
    if layer.spots:
        found.append(f"{layer.spots:,} {'point' if layer.spots == 1 else 'points'}")
    return "; ".join(found)


def _line_words(index: int, name: str, closed: bool, points: int) -> str:
    kind = "closed" if closed else "open"
    return f"{name or f'line {index + 1}'}: {kind}, {points:,} points"


def _outcome(looked: ImportPreview) -> Sequence[str]:
    if looked.made is None:
        return []
    parts = [outline.part for outline in looked.made.outlines]
    said = []
    if parts:
        counted = [
            f"{parts.count(part)} × {part}" if parts.count(part) > 1 else part
            for part in dict.fromkeys(parts)
        ]
        said.append(
            f"Outlines: {listed(counted)}. They take the place of what the bunker has of "
            f"{'that part' if len(set(parts)) == 1 else 'those parts'}; its other parts stay."
        )
    kinds = [thing.kind for thing in looked.made.things]
    if kinds:
        counted = [f"{kinds.count(kind)} × {kind}" for kind in dict.fromkeys(kinds)]
        said.append(f"To keep clear of: {listed(counted)}.")
    return said
