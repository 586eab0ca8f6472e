"""Plans of what a drawing would bring: over the whole hole, and close to."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fieldapp.errors import OutlineError
from fieldapp.outline.curve import build_curve
from fieldapp.server.hole_drawing import MARGIN_PX, HoleDrawing, HoleOnGround, draw_hole, drawn_outlines
from fieldapp.server.import_contexts import BroughtLine, CloseUp
from fieldapp.server.plan_sheet import FloatArray, Sheet, fit_sheet, scale_bar, svg_path
from fieldapp.workflow.drawing_placing import PlacedDrawing, PlacedLine
from fieldapp.workflow.drawing_uses import LEAVE_OUT, Uses

OVERVIEW_PX, CLOSE_UP_PX, MOST_HEIGHT_PX = 340.0, 380.0, 560.0
CLOSE_MARGIN_PX = 36.0
MOST_DRAWN = 300
NEAR_M = 400.0
TRACE_ON_PAPER_PX = 0.3


def overview(
    ground: HoleOnGround, placed: PlacedDrawing, uses: Uses
) -> tuple[HoleDrawing, tuple[BroughtLine, ...]]:
    """Draw the hole with what lies near it of a drawing."""
    near = _near(placed, uses)
    reach = np.concatenate([ground.reach(), *(_places(line) for line in near)])
    sheet = fit_sheet(reach, ground.up_bearing_deg, OVERVIEW_PX, MOST_HEIGHT_PX * 1.4, MARGIN_PX)
    return draw_hole(ground, sheet), _brought(sheet, near, uses)


def close_up(ground: HoleOnGround, placed: PlacedDrawing, uses: Uses) -> CloseUp | None:
    """Draw what is used of a drawing, large; None where nothing is."""
    near = [line for line in _near(placed, uses) if _used(line, uses)]
    spots = [(spot.x, spot.y) for spot in placed.spots if uses.of(spot.layer) != LEAVE_OUT]
    if not near and not spots:
        return None
    reach = np.concatenate([*(_places(line) for line in near), np.array(spots, dtype=float).reshape(-1, 2)])
    sheet = fit_sheet(reach, ground.up_bearing_deg, CLOSE_UP_PX, MOST_HEIGHT_PX, CLOSE_MARGIN_PX)
    return CloseUp(
        width=sheet.width,
        height=sheet.height,
        bar=scale_bar(sheet, ground.ground_scale, ground.site.units.ground),
        north_turn_deg=round(-ground.convergence_deg - sheet.up_bearing_deg, 2),
        outlines=drawn_outlines(sheet, ground.bunkers),
        brought=(*_brought(sheet, near, uses), *(_cross(sheet, spot) for spot in spots[:MOST_DRAWN])),
    )


def _near(placed: PlacedDrawing, uses: Uses) -> list[PlacedLine]:
    """Return the lines to be drawn: those near the hole, used ones and nearer ones first."""
    near = [line for line in placed.lines if line.away_m <= NEAR_M]
    near.sort(key=lambda line: (not _used(line, uses), line.away_m, line.index))
    return near[:MOST_DRAWN]


def _used(line: PlacedLine, uses: Uses) -> bool:
    return uses.of(line.layer) != LEAVE_OUT and line.index not in uses.left_out


def _places(line: PlacedLine) -> FloatArray:
    return np.array([(point.x, point.y) for point in line.shape.points])


def _brought(sheet: Sheet, lines: Sequence[PlacedLine], uses: Uses) -> tuple[BroughtLine, ...]:
    return tuple(BroughtLine(_path(sheet, line), _used(line, uses)) for line in lines)


def _path(sheet: Sheet, line: PlacedLine) -> str:
    try:
        trace = build_curve(line.shape).trace(TRACE_ON_PAPER_PX / sheet.px_per_m)
    except OutlineError:
        trace = _places(line)
    return svg_path(sheet.place(trace)) + ("Z" if line.shape.closed else "")


def _cross(sheet: Sheet, spot: tuple[float, float]) -> BroughtLine:
    x, y = sheet.spot(*spot)
    return BroughtLine(f"M{x - 5:.1f} {y:.1f}H{x + 5:.1f}M{x:.1f} {y - 5:.1f}V{y + 5:.1f}", True)
