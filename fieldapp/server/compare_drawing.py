"""The plan of an old bunker and a new one, play up the sheet, with the shift from one middle to the other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.line_of_play import line_of_play
from fieldapp.server.hole_drawing import HoleOnGround, Names
from fieldapp.server.labels import LabelRoom
from fieldapp.server.plan_drawing import DrawnSpot, outline_path
from fieldapp.server.plan_sheet import FloatArray, ScaleBar, fit_sheet, scale_bar, svg_path

WIDTH_PX, MOST_HEIGHT_PX, MARGIN_PX = 340.0, 560.0, 64.0
HEAD_PX = 9.0
SHORTEST_PX = 14.0


@dataclass(frozen=True)
class CompareDrawing:
    """The sand of two bunkers on a sheet; `shift` is an arrow as one SVG path, "" where they lie in the same place."""

    width: float
    height: float
    bar: ScaleBar
    north_turn_deg: float
    fairway: str
    lines: tuple[str, ...]
    old: str
    new: str
    shift: str
    names: tuple[DrawnSpot, ...]
    leaders: tuple[str, ...]


def draw_compared(ground: HoleOnGround, old: LaidOutBunker, new: LaidOutBunker) -> CompareDrawing:
    """Draw both bunkers with the lines of play and the fairway about them."""
    traces = {bunker.bunker.id: _places(bunker) for bunker in (old, new)}
    reach = np.concatenate(list(traces.values()))
    sheet = fit_sheet(reach, new.play_bearing_deg, WIDTH_PX, MOST_HEIGHT_PX, MARGIN_PX)
    room = LabelRoom(sheet.width, sheet.height, ())
    for places in traces.values():
        room.take(map(tuple, sheet.place(places)), 2.0)
    arrow = sheet.place(np.array([old.middle, new.middle]))
    room.take(map(tuple, np.linspace(arrow[0], arrow[1], 40)), 6.0)
    names = Names(sheet, room)
    drawn = tuple(names.of_bunker(bunker, sheet.place(traces[bunker.bunker.id])) for bunker in (old, new))
    lines = [line_of_play(ground.site, tee).vertices for tee in ground.tees]
    fairway = ground.hole.fairway
    return CompareDrawing(
        width=sheet.width,
        height=sheet.height,
        bar=scale_bar(sheet, ground.ground_scale, ground.site.units.ground),
        north_turn_deg=round(-ground.convergence_deg - sheet.up_bearing_deg, 2),
        fairway=svg_path(sheet.place(fairway)) + "Z" if fairway else "",
        lines=tuple(svg_path(sheet.place(line)) for line in lines),
        old=outline_path(sheet, old.sand),
        new=outline_path(sheet, new.sand),
        shift=_arrow(arrow),
        names=drawn,
        leaders=tuple(names.leaders),
    )


def _places(bunker: LaidOutBunker) -> FloatArray:
    return bunker.sand.points.xy


def _arrow(arrow: FloatArray) -> str:
    """Return a line with a head at its end; "" where it is too short to be seen as one."""
    run = arrow[1] - arrow[0]
    length = float(np.hypot(*run))
    if length < SHORTEST_PX:
        return ""
    along = run / length
    aside = np.array([-along[1], along[0]])
    back = arrow[1] - HEAD_PX * along
    head = np.array([back + HEAD_PX / 2 * aside, arrow[1], back - HEAD_PX / 2 * aside])
    return svg_path(arrow) + svg_path(head)
