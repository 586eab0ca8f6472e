"""The plan of two revisions of a bunker: the old line dashed, the new one solid, what becomes of each paint point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.outline.clearance import Nearness
from fieldapp.outline.compared import ComparedOutline, ComparedPoint
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.server.keep_clear_drawing import thing_path
from fieldapp.server.labels import LabelRoom
from fieldapp.server.plan_drawing import outline_path, outward
from fieldapp.server.plan_sheet import (
    FloatArray,
    Place,
    ScaleBar,
    Sheet,
    fit_sheet,
    rounded,
    scale_bar,
    svg_path,
)
from fieldapp.workflow.sites import StandingSite

WIDTH_PX, MOST_HEIGHT_PX, MARGIN_PX = 460.0, 560.0, 56.0
SHORTEST_PX = 5.0
NAME_AWAY_PX = 9.0


@dataclass(frozen=True)
class DrawnFate:
    """A paint point by its fate; `way` leads from where it was, "" where that is too near to be seen."""

    fate: str
    at: Place
    number: int
    label: Place | None
    way: str


@dataclass(frozen=True)
class DrawnNear:
    """A thing that the new revision comes too near to: its place as a path, the gap to it, its name."""

    extent: str
    path: str
    gap: str
    name: str
    label: Place


@dataclass(frozen=True)
class RevisionDrawing:
    """Two revisions on a sheet, play up; `old` and `new` are SVG paths with their parts."""

    width: float
    height: float
    bar: ScaleBar
    north_turn_deg: float
    old: tuple[str, ...]
    new: tuple[tuple[str, str], ...]
    points: tuple[DrawnFate, ...]
    near: tuple[DrawnNear, ...]


def draw_revisions(
    standing: StandingSite,
    old: LaidOutBunker | None,
    new: LaidOutBunker,
    outlines: Sequence[ComparedOutline],
    near: Sequence[Nearness] = (),
) -> RevisionDrawing:
    """Draw both revisions, and what the new one comes too near to."""
    bunkers = [bunker for bunker in (old, new) if bunker is not None]
    reach = [outline.points.xy for bunker in bunkers for outline in bunker.outlines]
    reach += [np.array([one.bunker_at, one.thing_at]) for one in near]
    sheet = fit_sheet(np.concatenate(reach), new.play_bearing_deg, WIDTH_PX, MOST_HEIGHT_PX, MARGIN_PX)
    points = [point for outline in outlines for point in outline.points]
    room = LabelRoom(sheet.width, sheet.height, [sheet.spot(*_at(point)) for point in points])
    scale = standing.ground_scale(new.bunker.hole)
    bar = scale_bar(sheet, scale, standing.site.units.ground)
    room.take([(20.0 + share * bar.px, sheet.height - 22.0) for share in (0.0, 0.5, 1.0)], 26.0)
    return RevisionDrawing(
        width=sheet.width,
        height=sheet.height,
        bar=bar,
        north_turn_deg=round(-_convergence(standing, new) - sheet.up_bearing_deg, 2),
        old=tuple(outline_path(sheet, outline) for outline in (old.outlines if old else ())),
        new=tuple((outline.part, outline_path(sheet, outline)) for outline in new.outlines),
        near=tuple(_near(sheet, room, one) for one in near),
        points=tuple(drawn for outline in outlines for drawn in _fates(sheet, room, outline)),
    )


def _convergence(standing: StandingSite, bunker: LaidOutBunker) -> float:
    return float(standing.grid.convergence_deg(np.array(bunker.middle)))


def _at(point: ComparedPoint) -> Place:
    at = point.new_at or point.old_at
    assert at is not None
    return at


def _fates(sheet: Sheet, room: LabelRoom, outline: ComparedOutline) -> list[DrawnFate]:
    line = outline.new or outline.old
    assert line is not None
    places = np.array([sheet.spot(*_at(point)) for point in outline.points]).reshape(-1, 2)
    away = outward(sheet.place(line.points.xy), line.curve.closed)
    drawn = []
    for point, place in zip(outline.points, places, strict=True):
        number = point.new or point.old or 0
        side = away[min(number, len(away)) - 1]
        is_told = point.fate != "unmoved"
        label = room.set_off(str(number), rounded(place), side) if is_told else None
        drawn.append(DrawnFate(point.fate, rounded(place), number, label, _way(sheet, point)))
    return drawn


def _way(sheet: Sheet, point: ComparedPoint) -> str:
    if point.old_at is None or point.new_at is None:
        return ""
    ends: FloatArray = sheet.place(np.array([point.old_at, point.new_at]))
    return svg_path(ends) if float(np.hypot(*(ends[1] - ends[0]))) >= SHORTEST_PX else ""


def _near(sheet: Sheet, room: LabelRoom, one: Nearness) -> DrawnNear:
    ends = sheet.place(np.array([one.bunker_at, one.thing_at]))
    name = one.thing.name or one.thing.id
    label = room.set_beside(name, rounded(ends[1]), NAME_AWAY_PX)
    return DrawnNear(one.thing.extent, thing_path(sheet, one.thing), svg_path(ends), name, label)
