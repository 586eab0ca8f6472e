"""A capture in words: how it was measured, what it changes, how true it is, what stands in the way."""

from __future__ import annotations

import math

import numpy as np

from fieldapp.model import Capture
from fieldapp.model.tape_record import CapturedPoint
from fieldapp.server.bunker_figures import area_words
from fieldapp.server.page_contexts import Fact
from fieldapp.server.record_rows import ground_words
from fieldapp.workflow.captured_outline import CapturedOutline
from fieldapp.workflow.captures import HeldCapture, WorkedCapture

STATES = {
    "waits": "waits to be confirmed",
    "confirmed": "confirmed",
    "superseded": "superseded",
    "taken back": "taken back",
    "practice": "practice",
    "cannot": "cannot be confirmed",
}
METHODS = {
    "walk": "walked with the receiver",
    "line": "offsets from a string",
    "ties": "taped from two pegs",
    "mixed": "strings, ties and readings",
}
SIDES = (
    "on the green side",
    "on the green side, to the right",
    "on the right",
    "on the tee side, to the right",
    "on the tee side",
    "on the tee side, to the left",
    "on the left",
    "on the green side, to the left",
)
POOR_M = 0.30
"""From this half width on a walk is told to be too rough to dig by: a choice, no source."""


def state_words(capture: HeldCapture) -> str:
    """Return the state of a capture in words."""
    if capture.issue is not None:
        return f"confirmed, became revision {capture.issue.revision}"
    return STATES[capture.state]


def how_words(record: Capture) -> str:
    """Say how it was measured, and in how many points."""
    count = len(record.fixes) if record.method == "walk" else len(record.points)
    return f"{METHODS[record.method]}, {count} {'positions' if record.method == 'walk' else 'points'}"


def change_facts(worked: WorkedCapture) -> tuple[Fact, ...]:
    """Say how the new outline lies against the old one."""
    alike, unit = worked.alike, worked.site.site.units.ground
    if alike is None:
        return ()
    out, inward = ("out", "in") if worked.old and worked.old.curve.closed else ("to the right", "to the left")
    more = alike.area_more_m2
    areas = (
        ()
        if more is None
        else (
            Fact(
                "Area",
                f"{area_words(alike.new_area_m2, unit)}, was {area_words(alike.old_area_m2, unit)}: "
                f"{area_words(abs(more), unit)} {'more' if more >= 0 else 'less'}",
            ),
            Fact("Not in both", area_words(alike.changed_m2, unit)),
        )
    )
    return (
        Fact(f"Farthest {out}", _reach_words(worked, alike.out_m, alike.out_at)),
        Fact(f"Farthest {inward}", _reach_words(worked, alike.in_m, alike.in_at)),
        Fact("Farthest apart", ground_words(alike.hausdorff_m, unit)),
        *areas,
    )


def truth_facts(worked: WorkedCapture, line: CapturedOutline) -> tuple[Fact, ...]:
    """Say how true the line is, 95 times in 100."""
    unit = worked.site.site.units.ground
    if worked.capture.record.method == "walk":
        place = line.position95_m
        whole = "not known" if place is None else f"within {ground_words(place, unit)} (95 %)"
        return (
            Fact("Its shape", _within(line.shape95_m, unit)),
            Fact("Where it lies as a whole", whole),
            Fact("Walked", _walk_words(line)),
        )
    band, worst = line.band95_m, line.worst_point95_m
    within = "not known" if worst is None else f"within {ground_words(worst, unit)} at the worst (95 %)"
    facts = [
        Fact("Measured points", within),
        Fact("The line, square to it", _within(None if band is None else float(band.max()), unit)),
    ]
    if line.widest_gap_m is not None and line.bulge_m is not None:
        facts.append(Fact("Widest gap between points", ground_words(line.widest_gap_m, unit)))
        facts.append(
            Fact("Bulge drawn between points", f"up to {ground_words(line.bulge_m, unit)}, not measured")
        )
    return tuple(facts)


def told_words(worked: WorkedCapture, line: CapturedOutline) -> tuple[str, ...]:
    """Say what a person who confirms it must know."""
    unit = worked.site.site.units.ground
    if worked.capture.record.method != "walk":
        return ()
    if line.shape95_m is None or line.band95_m is None:
        return (
            "The receiver gave no figure of its own, so nobody can tell how true this shape is.",
            *line.words,
        )
    told = list(line.words)
    if is_rough(line):
        told.insert(
            0,
            f"This shape is true to about ± {ground_words(line.shape95_m, unit)} only: a receiver's error drifts while "
            "you walk, so it bends the line, and walking on averages little of it away. It shows the place and the "
            "idea. To bring the shape back as it is sprayed, capture it by ties from two pegs or by offsets from a "
            "string: that is true to some centimetres.",
        )
    return tuple(told)


def is_rough(line: CapturedOutline | None) -> bool:
    """Whether a walk is too rough for its shape to be dug by."""
    return line is not None and line.shape95_m is not None and line.shape95_m > POOR_M


def point_how(point: CapturedPoint, unit: str) -> str:
    """Say how one point was measured."""
    if point.by == "reading":
        return "position held still"
    lengths = [ground_words(distance, unit) for distance in point.distances_m]
    if point.by == "line":
        offset = point.distances_m[1]
        side = "" if offset == 0 else " right" if offset > 0 else " left"
        return (
            f"string {point.pegs[0]} to {point.pegs[1]}: {lengths[0]} along, "
            f"{ground_words(abs(offset), unit)}{side}"
        )
    ties = ", ".join(f"{peg} {length}" for peg, length in zip(point.pegs, lengths, strict=True))
    side = f", {point.side} of {point.pegs[0]} to {point.pegs[1]}" if point.side else ""
    return f"{ties}{side}"


def point_within(radius95_m: float | None, unit: str) -> str:
    """Return how well a point is known, as its phone said it: by the long half axis of its 95 % ellipse."""
    return "not known" if radius95_m is None else ground_words(radius95_m, unit)


def where_words(worked: WorkedCapture, at: tuple[float, float]) -> str:
    """Say on which side of the bunker's middle a place lies, as the hole is played."""
    if worked.bunker is None:
        return ""
    away = np.array(at) - np.array(worked.bunker.middle)
    bearing = math.degrees(math.atan2(away[0], away[1])) - worked.bunker.play_bearing_deg
    return SIDES[round(bearing / 45.0) % 8]


def _reach_words(worked: WorkedCapture, length_m: float, at: tuple[float, float]) -> str:
    if length_m < 0.005:
        return "nowhere"
    return f"{ground_words(length_m, worked.site.site.units.ground)}, {where_words(worked, at)}"


def _within(half_m: float | None, unit: str) -> str:
    return "not known" if half_m is None else f"± {ground_words(half_m, unit)} (95 %)"


def _walk_words(line: CapturedOutline) -> str:
    rounds = round(line.rounds)
    times = "" if rounds < 2 else f"{rounds} rounds, "
    left = "" if line.left_out == 0 else f", {line.left_out} stray positions left out"
    minutes, seconds = divmod(round(line.seconds), 60)
    return f"{times}{minutes} min {seconds:02d} s{left}"
