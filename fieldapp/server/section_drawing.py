"""Sections drawn to scale with heights exaggerated: the whole line from the tee, and the bunker close up.

Nothing here writes SVG; the template does. Sheet units are CSS pixels, x right, y down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.play.section import Place, Pocket, Section
from fieldapp.play.sight import SeenSand
from fieldapp.play.tee_sight import TeeSight
from fieldapp.server.section_window import (
    BOTTOM,
    TOP,
    WIDE,
    FloatArray,
    SectionSheet,
    Spot,
    Tick,
    Window,
    clipped,
    distance_ticks,
    fit_window,
    level_ticks,
    path_of,
    paths_of,
)
from fieldapp.server.sight_words import SightWords

LONG_HEIGHT, CLOSE_HEIGHT = 240.0, 280.0
"""The most that the levels of a section may take up on the sheet."""
FACTORS = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25)
LONG_FACTORS = (*FACTORS, 30, 40, 50)
PIT_LEAST = 60.0
"""A pit less deep on the sheet than this has the words of its front edge above it."""
LABEL_LEAST = 150.0
"""A gap less wide on the sheet than this has no words of its own; the key has them."""
CLOSE_BEFORE_M, CLOSE_BEHIND_M = 6.0, 0.4


@dataclass(frozen=True)
class Words:
    """Words on the drawing; `anchor` is SVG's."""

    text: str
    at: Spot
    anchor: str = "middle"


@dataclass(frozen=True)
class DrawnGap:
    """Ground that is not known: a dotted path, with words where there is room for them."""

    path: str
    words: Words | None


@dataclass(frozen=True)
class SectionDrawing:
    """A section on a sheet, named by `sheet`; every path may be empty.

    `rays` are lines of sight, `wanted` the one that would show as much as is wanted. `frame` is left, top, right and
    bottom of what is drawn to scale.
    """

    sheet: str
    width: float
    height: float
    factor: int
    frame: tuple[float, float, float, float]
    distances: tuple[Tick, ...]
    levels: tuple[Tick, ...]
    ground: str
    gaps: tuple[DrawnGap, ...]
    sand: str
    seen: str
    ray: str
    wanted: str
    eye: Spot | None
    marks: tuple[Spot, ...]
    words: tuple[Words, ...]


def draw_long(found: TeeSight, words: SightWords, sheet: SectionSheet = WIDE) -> SectionDrawing | None:
    """Draw the whole line from the plate to the far edge; None where no level beyond the plate is known."""
    section = found.section
    if section.far_m is None or all(run.end[0] == 0.0 for run in section.runs()):
        return None
    levels = _levels(found, 0.0, section.far_m)
    window = fit_window(sheet, (0.0, section.far_m), levels, LONG_FACTORS, LONG_HEIGHT)
    return _draw(found, window, words, _long_words(found, window, words))


def draw_close(found: TeeSight, words: SightWords, sheet: SectionSheet = WIDE) -> SectionDrawing | None:
    """Draw the bunker close up; None where its edges have no level."""
    section = found.section
    if not section.pockets or section.far_m is None or section.front_m is None:
        return None
    near = max(0.0, section.front_m - CLOSE_BEFORE_M)
    levels = _levels(found, near, section.far_m)
    window = fit_window(sheet, (near, section.far_m + CLOSE_BEHIND_M), levels, FACTORS, CLOSE_HEIGHT)
    return _draw(found, window, words, _close_words(found, window, words))


def _draw(found: TeeSight, window: Window, words: SightWords, labels: tuple[Words, ...]) -> SectionDrawing:
    section, sight = found.section, found.sight
    runs = section.runs()
    eye = (0.0, sight.eye_level_m) if sight.eye_level_m is not None and window.near_m == 0.0 else None
    hider = sight.hidden_by
    return SectionDrawing(
        sheet=window.sheet.name,
        width=window.sheet.width,
        height=window.height,
        factor=window.factor,
        frame=(window.sheet.left, TOP, round(window.spot((window.far_m, 0.0))[0], 2), window.height - BOTTOM),
        distances=distance_ticks(window, words),
        levels=level_ticks(window, words),
        ground=paths_of(window, [run.places for run in runs if run.kind == "ground"]),
        gaps=tuple(
            _gap(window, gap.start, gap.end, gap.why) for gap in section.unknown if gap.end[0] > window.near_m
        ),
        sand=paths_of(window, [*_drops(section), *(run.places for run in runs if run.kind != "ground")]),
        seen=paths_of(window, [np.array([part.start, part.end]) for part in _upward(sight.seen)]),
        ray=paths_of(window, [np.array(_ray(found))] if _ray(found) else []),
        wanted=paths_of(window, [np.array(_wanted(found))] if _wanted(found) else []),
        eye=window.spot(eye) if eye else None,
        marks=(window.spot(hider),) if hider and hider[0] >= window.near_m else (),
        words=labels,
    )


def _drops(section: Section) -> list[FloatArray]:
    """Return the near sides of the pits, from the front edge straight down to the floor."""
    floors = [(pocket.front, pocket.floor_level_m) for pocket in section.pockets]
    return [np.array([front, (front[0], floor)]) for front, floor in floors if floor is not None]


def _upward(seen: Sequence[SeenSand]) -> list[SeenSand]:
    return [part for part in seen if part.start != part.end]


def _levels(found: TeeSight, near_m: float, far_m: float) -> list[float]:
    """Return every level that is drawn between two distances: of ground, sand and lines of sight."""
    chains = [run.places for run in found.section.runs()]
    chains += [np.array(line) for line in (_ray(found), _wanted(found)) if line]
    return [level for chain in chains for _, level in clipped(chain, near_m, far_m).tolist()]


def _gap(window: Window, start: Place, end: Place, why: str) -> DrawnGap:
    chain = clipped(np.array([start, end]), window.near_m, window.far_m)
    ends = [window.spot((x, z)) for x, z in chain.tolist()]
    (left, top), (right, bottom) = ends[0], ends[-1]
    named = right - left >= LABEL_LEAST
    return DrawnGap(
        path_of(ends), Words(why, ((left + right) / 2, (top + bottom) / 2 + 18)) if named else None
    )


def _ray(found: TeeSight) -> list[Place]:
    """Return the lowest line of sight to sand, or the one over what hides all of it, from the eye to the far edge."""
    sight, far_m = found.sight, found.section.far_m
    over = sight.hidden_by or (sight.seen[0].start if sight.seen else None)
    if sight.eye_level_m is None or over is None or far_m is None:
        return []
    rise = (over[1] - sight.eye_level_m) / over[0]
    end_m = sight.seen[0].start[0] if sight.seen else far_m
    return [(0.0, sight.eye_level_m), (end_m, sight.eye_level_m + rise * end_m)]


def _wanted(found: TeeSight) -> list[Place]:
    """Return the line of sight that would show as much as is wanted in the middle, where the edge is in its way."""
    need, eye = found.lowering, found.sight.eye_level_m
    if need is None or eye is None or need.middle.lower_m <= 0.0:
        return []
    front, lower = need.middle.front, need.middle.lower_m
    rise = (front[1] - lower - eye) / front[0]
    far_m = found.section.pockets[0].far[0]
    return [(0.0, eye), (far_m, eye + rise * far_m)]


def _long_words(found: TeeSight, window: Window, words: SightWords) -> tuple[Words, ...]:
    labels = []
    if found.sight.eye_level_m is not None:
        x, y = window.spot((0.0, found.sight.eye_level_m))
        labels.append(Words(f"eye {words.height(found.sight.eye_level_m)}", (x + 10, y - 9), "start"))
    if found.section.pockets:
        x, y = window.spot(found.section.pockets[-1].far)
        labels.append(Words("close up", (x + 10, y - 2), "start"))
        labels.append(Words("below", (x + 10, y + 14), "start"))
    hider = found.sight.hidden_by
    if hider and hider != found.section.pockets[0].front:
        x, y = window.spot(hider)
        labels.append(Words("hides it", (x - 8, y - 14), "end"))
    return tuple(labels)


def _close_words(found: TeeSight, window: Window, words: SightWords) -> tuple[Words, ...]:
    first, last = found.section.pockets[0], found.section.pockets[-1]
    x, y = window.spot(last.far)
    labels = [
        *_front_words(first, window, words),
        Words("far edge", (x + 12, y - 2), "start"),
        Words(words.height(last.far[1]), (x + 12, y + 14), "start"),
    ]
    if first.floor_level_m is not None:
        middle = (first.front[0] + (first.foot or first.far)[0]) / 2
        x, y = window.spot((middle, first.floor_level_m))
        labels.append(Words(f"floor {words.height(first.floor_level_m)}", (x, y - 9)))
    return tuple(labels)


def _front_words(pocket: Pocket, window: Window, words: SightWords) -> tuple[Words, ...]:
    """Name the front edge within the pit, or above it where the pit is shallow."""
    level = words.height(pocket.front[1])
    x, y = window.spot(pocket.front)
    floor = y if pocket.floor_level_m is None else window.spot((pocket.front[0], pocket.floor_level_m))[1]
    if floor - y < PIT_LEAST:
        return (Words(f"front edge {level}", (x, y - 14)),)
    middle = (y + floor) / 2
    return (Words("front edge", (x + 9, middle - 4), "start"), Words(level, (x + 9, middle + 12), "start"))
