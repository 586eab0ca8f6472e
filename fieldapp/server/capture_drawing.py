"""The plan of a captured outline over the one it was captured over, with its band, play up the sheet."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fieldapp.server.labels import LabelRoom
from fieldapp.server.plan_drawing import TRACE_ON_PAPER_PX, DrawnSpot, outline_path, outward
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
from fieldapp.tape.band import band_area
from fieldapp.workflow.captured_outline import CapturedOutline
from fieldapp.workflow.captures import WorkedCapture

WIDTH_PX, MOST_HEIGHT_PX, MARGIN_PX = 400.0, 520.0, 46.0
MANY_POINTS = 60
NAME_AWAY_PX = 11.0
STEPS = 150


@dataclass(frozen=True)
class DrawnMeasured:
    """A measured point; `label` is where its number stands, None where numbers would crowd each other."""

    number: int
    at: Place
    label: Place | None


@dataclass(frozen=True)
class DrawnReach:
    """Where the new outline reaches farthest out of the old one, or into it, with its words beside it."""

    words: str
    at: Place
    label: Place


@dataclass(frozen=True)
class CaptureDrawing:
    """A captured outline on a sheet: SVG paths, "" where there is nothing to draw. `band` is to be filled even-odd,
    `joined` is what was measured where no line can be made of it.
    """

    width: float
    height: float
    bar: ScaleBar
    north_turn_deg: float
    band: str
    old: str
    new: str
    joined: str
    points: tuple[DrawnMeasured, ...]
    fixes: tuple[Place, ...]
    reaches: tuple[DrawnReach, ...]
    spots: tuple[DrawnSpot, ...]


def draw_capture(worked: WorkedCapture, reaches: tuple[tuple[str, Place], ...]) -> CaptureDrawing:
    """Draw a capture; `reaches` are words and places, course metres, of where it differs most.

    Where no line can be made of it, what was measured is joined as it came.
    """
    line, up = worked.line, _up(worked)
    band = _band(line)
    xy = worked.measured_xy if line is None else line.measured_xy
    sheet = fit_sheet(_reach(worked, xy, band), up, WIDTH_PX, MOST_HEIGHT_PX, MARGIN_PX)
    walked = worked.capture.record.method == "walk"
    measured = sheet.place(xy)
    room = LabelRoom(sheet.width, sheet.height, () if walked else [rounded(place) for place in measured])
    bar = scale_bar(sheet, worked.ground_scale, worked.site.site.units.ground)
    room.take(_lines(sheet, worked), 2.0)
    room.take([(20.0 + share * bar.px, sheet.height - 22.0) for share in (0.0, 0.5, 1.0)], 26.0)
    spots = _pegs(sheet, worked, room)
    convergence = float(worked.site.grid.convergence_deg(xy.mean(axis=0)))
    return CaptureDrawing(
        width=sheet.width,
        height=sheet.height,
        bar=bar,
        north_turn_deg=round(-convergence - up, 2),
        band="".join(svg_path(sheet.place(ring)) + "Z" for ring in band),
        old=outline_path(sheet, worked.old) if worked.old else "",
        new=_path(sheet, line) if line else "",
        joined="" if line else svg_path(measured),
        reaches=_reaches(sheet, room, reaches),
        points=() if walked else _numbered(room, measured, worked.capture.record.closed),
        fixes=tuple(rounded(place) for place in measured) if walked else (),
        spots=spots,
    )


def _up(worked: WorkedCapture) -> float:
    return worked.bunker.play_bearing_deg if worked.bunker else 0.0


def _band(line: CapturedOutline | None) -> tuple[FloatArray, ...]:
    if line is None or line.band95_m is None:
        return ()
    return band_area(line.band_xy, np.maximum(line.band95_m, 1e-3))


def _reach(worked: WorkedCapture, xy: FloatArray, band: tuple[FloatArray, ...]) -> FloatArray:
    old = [worked.old.points.xy] if worked.old else []
    line = [worked.line.band_xy] if worked.line else [xy]
    return np.concatenate([*line, *band, *old])


def _path(sheet: Sheet, line: CapturedOutline) -> str:
    trace = line.curve.trace(TRACE_ON_PAPER_PX / sheet.px_per_m)
    return svg_path(sheet.place(trace)) + ("Z" if line.curve.closed else "")


def _pegs(sheet: Sheet, worked: WorkedCapture, room: LabelRoom) -> tuple[DrawnSpot, ...]:
    """Draw the pegs it was measured from that lie on the sheet."""
    spots = []
    for peg in worked.capture.record.pegs:
        at = sheet.spot(peg.x, peg.y)
        if 0 <= at[0] <= sheet.width and 0 <= at[1] <= sheet.height:
            spots.append(DrawnSpot("reference peg", peg.peg, at, room.set_beside(peg.peg, at, NAME_AWAY_PX)))
    return tuple(spots)


def _reaches(sheet: Sheet, room: LabelRoom, reaches: tuple[tuple[str, Place], ...]) -> tuple[DrawnReach, ...]:
    placed = [(words, sheet.spot(*at)) for words, at in reaches]
    room.take([at for _, at in placed], 7.0)
    return tuple(DrawnReach(words, at, room.set_beside(words, at, NAME_AWAY_PX)) for words, at in placed)


def _lines(sheet: Sheet, worked: WorkedCapture) -> list[Place]:
    """Return places along both outlines that labels are to keep off."""
    curves = [part.curve for part in (worked.old, worked.line) if part is not None]
    steps = np.linspace(0.0, 1.0, STEPS)
    return [rounded(at) for curve in curves for at in sheet.place(curve.points_at(steps * curve.length_m))]


def _numbered(room: LabelRoom, measured: FloatArray, closed: bool) -> tuple[DrawnMeasured, ...]:
    away = outward(measured, closed) * (1.0 if _is_clockwise(measured) else -1.0)
    drawn = []
    for number, place in enumerate(measured, 1):
        is_told = len(measured) <= MANY_POINTS or number % 5 == 0 or number == 1
        label = room.set_off(str(number), rounded(place), away[number - 1]) if is_told else None
        drawn.append(DrawnMeasured(number, rounded(place), label))
    return tuple(drawn)


def _is_clockwise(places: FloatArray) -> bool:
    """Whether a ring of sheet places, y down, runs clockwise as it is seen."""
    x, y = places.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0
