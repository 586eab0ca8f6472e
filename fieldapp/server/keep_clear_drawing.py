"""Things to keep clear of on a plan: thin lines, an area faintly filled, a point as a small diamond."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.model import KeepClear
from fieldapp.server.plan_sheet import Sheet, svg_path

POINT_PX = 5.0
DIAMOND = np.array([(-POINT_PX, 0.0), (0.0, -POINT_PX), (POINT_PX, 0.0), (0.0, POINT_PX)])


@dataclass(frozen=True)
class DrawnThing:
    """A thing on a sheet as an SVG path."""

    id: str
    kind: str
    is_area: bool
    path: str


def drawn_things(sheet: Sheet, things: Sequence[KeepClear]) -> tuple[DrawnThing, ...]:
    """Draw things; what lies off the sheet is cut off by its edge."""
    return tuple(DrawnThing(one.id, one.kind, one.extent == "area", thing_path(sheet, one)) for one in things)


def thing_path(sheet: Sheet, thing: KeepClear) -> str:
    """Return a thing as a path, a point as a small diamond."""
    places = sheet.place(thing.points)
    if thing.extent == "point":
        return svg_path(places[0] + DIAMOND) + "Z"
    return svg_path(places) + ("Z" if thing.extent == "area" else "")
