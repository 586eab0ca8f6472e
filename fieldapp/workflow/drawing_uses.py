"""What the layers of a drawing become: parts of a bunker, things to keep clear of, or nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import cast

from fieldapp.errors import OutlineError
from fieldapp.formats.draft import MOST_OUTLINES
from fieldapp.formats.keep_clear import MOST_POINTS
from fieldapp.model import (
    KEEP_CLEAR_KINDS,
    PART_NAMES,
    ControlPoint,
    DrawnShape,
    KeepClear,
    Outline,
    PartName,
)
from fieldapp.model.keep_clear import Extent, KeepClearKind
from fieldapp.outline.control_points import SAME_PLACE_M
from fieldapp.outline.curve import build_curve
from fieldapp.outline.laid_out import sands_words
from fieldapp.outline.thinning import farthest_m, thinned
from fieldapp.workflow.drawing_placing import PlacedDrawing, PlacedLine

LEAVE_OUT = ""
CLEAR = "keep clear: "
USES: tuple[str, ...] = (LEAVE_OUT, *PART_NAMES, *(f"{CLEAR}{kind}" for kind in KEEP_CLEAR_KINDS))
MOST_CURVE_POINTS = 1_000
SAME_THING_M = 0.01
MOST_THINGS = 200
TRACE_M = 0.01
"""Things to keep clear of are of straight pieces; arcs become pieces that lie so near to them."""
USUAL_CLEARANCE_M = 1.0
WORDS_OF_USES: tuple[tuple[str, str], ...] = (
    ("mound top", "mound top"),
    ("crest", "mound top"),
    ("mound", "mound foot"),
    ("face", "face foot"),
    ("swale", "swale"),
    ("scallop", "scallop"),
    ("transplant", "transplant area"),
    ("sand", "sand edge"),
    ("bunker", "sand edge"),
    ("drain", f"{CLEAR}drain"),
    ("irrigation", f"{CLEAR}irrigation"),
    ("sprinkler", f"{CLEAR}irrigation"),
    ("cable", f"{CLEAR}cable"),
    ("electric", f"{CLEAR}cable"),
    ("pipe", f"{CLEAR}pipe"),
    ("fairway", f"{CLEAR}fairway edge"),
    ("tree", f"{CLEAR}tree"),
)
"""Words in the name of a layer, and what it is then taken for."""


@dataclass(frozen=True)
class Uses:
    """What is made of a drawing: each layer's use, one of USES, and clearance; lines left out by their index."""

    of_layers: Mapping[str, str]
    clearances_m: Mapping[str, float]
    left_out: frozenset[int] = frozenset()

    def of(self, layer: str) -> str:
        """Return the use of a layer."""
        return self.of_layers.get(layer, LEAVE_OUT)


@dataclass(frozen=True)
class Made:
    """What the uses come to; `told` are sentences about it, `faults` what stands against keeping it."""

    outlines: tuple[Outline, ...]
    things: tuple[KeepClear, ...]
    told: tuple[str, ...]
    faults: tuple[str, ...]


def guessed_use(layer: str, layers: Sequence[str]) -> str:
    """Guess the use of a layer by its name; the only layer of a drawing is taken for the sand edge."""
    spelled = layer.casefold().replace("_", " ").replace("-", " ")
    found = next((use for word, use in WORDS_OF_USES if word in spelled), None)
    if found is not None:
        return found
    return "sand edge" if len(layers) == 1 else LEAVE_OUT


def made_of(placed: PlacedDrawing, uses: Uses, standing: Sequence[KeepClear] = ()) -> Made:
    """Make outlines and things of a placed drawing; what lies where one of `standing` does is not made again."""
    told: list[str] = []
    faults: list[str] = []
    outlines: list[Outline] = []
    things: list[KeepClear] = []
    ids = {thing.id for thing in standing}
    for line in placed.lines:
        use = uses.of(line.layer)
        if use == LEAVE_OUT or line.index in uses.left_out:
            continue
        if use.startswith(CLEAR):
            things.append(_thing_of_line(line, uses, ids, faults))
        else:
            outlines += _outline(line, cast(PartName, use), [one.id for one in outlines], told, faults)
    for spot in placed.spots:
        if uses.of(spot.layer).startswith(CLEAR):
            things.append(_thing(spot.layer, spot.name, "point", ((spot.x, spot.y),), uses, ids))
    new = [thing for thing in things if not any(_lies_there(thing, one) for one in standing)]
    if len(new) < len(things):
        again = len(things) - len(new)
        which = "1 thing to keep clear of stands" if again == 1 else f"{again} things to keep clear of stand"
        told.append(f"{which} there already; nothing is taken twice.")
    things = new
    if sands := sands_words(outlines):
        told.append(sands)
    if len(outlines) > MOST_OUTLINES:
        faults.append(
            f"That makes {len(outlines)} outlines of one bunker, and {MOST_OUTLINES} are the most: leave out layers or "
            "lines that belong to others."
        )
    if len(things) > MOST_THINGS:
        faults.append(
            f"That makes {len(things)} things to keep clear of, and {MOST_THINGS} are brought in at a time: leave out "
            "layers or lines."
        )
    return Made(tuple(outlines), tuple(things), tuple(told), tuple(faults))


def _lies_there(thing: KeepClear, other: KeepClear) -> bool:
    """Whether two things are of one kind and have the same places, whichever end is first."""
    if (thing.kind, thing.extent, len(thing.points)) != (other.kind, other.extent, len(other.points)):
        return False
    return any(
        all(math.dist(one, another) < SAME_THING_M for one, another in zip(thing.points, places, strict=True))
        for places in (other.points, other.points[::-1])
    )


def line_words(line: PlacedLine) -> str:
    """Return what a line is called: by its name, else by its turn in the file, with its layer."""
    called = f"'{line.name}'" if line.name else f"Line {line.index + 1}"
    return f"{called} of layer '{line.layer}'" if line.layer else called


def _outline(
    line: PlacedLine, part: PartName, ids: Sequence[str], told: list[str], faults: list[str]
) -> list[Outline]:
    points = _apart(line.shape.points, line.shape.closed)
    if len(points) < len(line.shape.points):
        doubled = len(line.shape.points) - len(points)
        told.append(
            f"{line_words(line)} had {doubled:,} {'point' if doubled == 1 else 'points'} within a millimetre of the "
            "one before, left out."
        )
    fewer = thinned(points, MOST_CURVE_POINTS, line.shape.closed)
    shape = DrawnShape(fewer, line.shape.curve, line.shape.closed)
    if part == "sand edge" and not shape.closed:
        told.append(
            f"{line_words(line)} is open, and a sand edge goes all round: close it on the drawing board."
        )
    try:
        curve = build_curve(shape)
    except OutlineError as fault:
        faults.append(f"{line_words(line)} cannot be an outline: {fault} Or leave it out here.")
        return []
    if len(fewer) < len(points):
        told.append(
            f"{line_words(line)} has {len(points):,} points; {len(points) - len(fewer):,} were left out, and none of "
            f"them lies more than {math.ceil(farthest_m(points, curve) * 1000)} mm off the line as it is now."
        )
    return [Outline(_free_id(part.replace(" ", "-"), set(ids)), part, shape)]


def _apart(points: Sequence[ControlPoint], closed: bool) -> tuple[ControlPoint, ...]:
    """Return the points without plain ones that stand where the one before stands."""
    kept = list(points[:1])
    for point in points[1:]:
        if point.role != "plain" or _away(point, kept[-1]) >= SAME_PLACE_M:
            kept.append(point)
    while closed and len(kept) > 3 and kept[-1].role == "plain" and _away(kept[-1], kept[0]) < SAME_PLACE_M:
        kept.pop()
    return tuple(kept)


def _away(one: ControlPoint, other: ControlPoint) -> float:
    return math.hypot(one.x - other.x, one.y - other.y)


def _thing_of_line(line: PlacedLine, uses: Uses, ids: set[str], faults: list[str]) -> KeepClear:
    extent: Extent = "area" if line.shape.closed else "line"
    try:
        trace = [(float(x), float(y)) for x, y in build_curve(line.shape).trace(TRACE_M)]
    except OutlineError:
        trace = [(point.x, point.y) for point in line.shape.points]
    places = [(round(x, 4), round(y, 4)) for x, y in trace]
    if extent == "area" and places[0] == places[-1]:
        places.pop()
    if len(places) > MOST_POINTS:
        faults.append(
            f"{line_words(line)} has {len(places):,} points, and a thing to keep clear of has {MOST_POINTS:,} at most: "
            "break it up in the drawing, or leave it out here."
        )
    return _thing(line.layer, line.name, extent, tuple(places), uses, ids)


def _thing(
    layer: str, name: str, extent: Extent, places: tuple[tuple[float, float], ...], uses: Uses, ids: set[str]
) -> KeepClear:
    kind = cast(KeepClearKind, uses.of(layer).removeprefix(CLEAR))
    new = _free_id(kind.replace(" ", "-"), ids)
    ids.add(new)
    return KeepClear(
        id=new,
        kind=kind,
        name=name or layer,
        extent=extent,
        points=places,
        clearance_m=uses.clearances_m.get(layer, USUAL_CLEARANCE_M),
    )


def _free_id(wanted: str, taken: set[str]) -> str:
    number = 1
    while (found := wanted if number == 1 else f"{wanted}-{number}") in taken:
        number += 1
    return found
