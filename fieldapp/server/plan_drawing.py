"""Plans for the desk pages: course coordinates turned into places on a sheet, to scale.

Nothing here writes SVG; the templates do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from fieldapp.model import Site, Tee
from fieldapp.outline.laid_out import LaidOutBunker, LaidOutOutline
from fieldapp.play.line_of_play import line_of_play
from fieldapp.server.labels import LabelRoom
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

Numbers = dict[str, frozenset[int]]
"""Numbers of paint points of each outline, by its id."""

NAME_AWAY_PX = 11.0
MANY_NUMBERS = 130
TRACE_ON_PAPER_PX = 0.15


@dataclass(frozen=True)
class DrawnPoint:
    """A numbered paint point on a sheet; `label` is None where numbers would crowd each other.

    `doubtful` says that it is marked, but not on the mark or with a remark.
    """

    number: int
    at: Place
    label: Place | None
    done: bool
    doubtful: bool = False


@dataclass(frozen=True)
class DrawnOutline:
    """An outline on a sheet as an SVG path, with its paint points."""

    id: str
    part: str
    path: str
    points: tuple[DrawnPoint, ...]


@dataclass(frozen=True)
class DrawnSpot:
    """A tee, peg, green or bunker on a sheet: place, name, where the name's middle stands, and the symbol's turn."""

    kind: str
    name: str
    at: Place
    label: Place
    turn_deg: float = 0.0


@dataclass(frozen=True)
class DrawnLine:
    """A line of play on a sheet, tee first."""

    name: str
    path: str


@dataclass(frozen=True)
class Drawing:
    """One plan: a sheet with everything that stands on it."""

    width: float
    height: float
    bar: ScaleBar
    north_turn_deg: float
    outlines: tuple[DrawnOutline, ...]
    spots: tuple[DrawnSpot, ...]
    lines: tuple[DrawnLine, ...] = ()
    play_up: bool = False


def draw_site(
    site: Site,
    bunkers: Sequence[LaidOutBunker],
    ground_scale: float,
    convergence_deg: float,
    width: float = 1120.0,
    most_height: float = 760.0,
) -> Drawing:
    """Draw a whole site, grid north upward."""
    reach = [(hole.green_x, hole.green_y) for hole in site.holes] + [(tee.x, tee.y) for tee in site.tees]
    reach += [(peg.x, peg.y) for peg in site.pegs] + [bunker.middle for bunker in bunkers]
    sheet = fit_sheet(np.array(reach), 0.0, width, most_height, margin=64.0)
    bare = [*_greens(sheet, site), *_tees(sheet, site), *_pegs(sheet, site), *_names(sheet, bunkers)]
    return Drawing(
        width=sheet.width,
        height=sheet.height,
        bar=scale_bar(sheet, ground_scale, site.units.ground),
        north_turn_deg=round(-convergence_deg, 2),
        outlines=tuple(
            DrawnOutline(outline.id, outline.part, outline_path(sheet, outline), ())
            for bunker in bunkers
            for outline in bunker.outlines
        ),
        spots=_named(sheet, bare),
        lines=tuple(
            DrawnLine(f"hole {hole.number}", svg_path(sheet.place(line_of_play(site, tees[0]).vertices)))
            for hole in site.holes
            if (tees := site.tees_of(hole.number))
        ),
    )


def draw_bunker(
    site: Site,
    laid_out: LaidOutBunker,
    done: Numbers,
    doubtful: Numbers,
    ground_scale: float,
    convergence_deg: float,
    width: float = 620.0,
    most_height: float = 520.0,
) -> Drawing:
    """Draw one bunker with numbered paint points, play upward; `done` holds the marked numbers of each outline.

    `doubtful` holds those of them that are not on the mark or carry a remark.
    """
    reach = np.concatenate([outline.points.xy for outline in laid_out.outlines])
    up = laid_out.play_bearing_deg
    sheet = fit_sheet(reach, up, width, most_height, margin=56.0)
    near = [spot for spot in _pegs(sheet, site) if sheet.holds(spot.at)]
    return Drawing(
        width=sheet.width,
        height=sheet.height,
        bar=scale_bar(sheet, ground_scale, site.units.ground),
        north_turn_deg=round(-convergence_deg - up, 2),
        outlines=numbered_outlines(sheet, laid_out.outlines, done, doubtful),
        spots=_named(sheet, near),
        play_up=True,
    )


def outline_path(sheet: Sheet, outline: LaidOutOutline) -> str:
    """Return an outline as an SVG path."""
    trace = outline.curve.trace(TRACE_ON_PAPER_PX / sheet.px_per_m)
    return svg_path(sheet.place(trace)) + ("Z" if outline.curve.closed else "")


def numbered_outlines(
    sheet: Sheet, outlines: Sequence[LaidOutOutline], done: Numbers, doubtful: Numbers
) -> tuple[DrawnOutline, ...]:
    """Draw outlines with their points; numbers are set in the order 1, tens, fives, evens, while there is room.

    Where there are very many, only 1, tens and fives are.
    """
    at = {outline.id: sheet.place(outline.points.xy) for outline in outlines}
    room = LabelRoom(
        sheet.width, sheet.height, [rounded(place) for places in at.values() for place in places]
    )
    away = {outline.id: outward(at[outline.id], outline.curve.closed) for outline in outlines}
    wanted = [(outline.id, number) for outline in outlines for number in range(1, len(at[outline.id]) + 1)]
    if len(wanted) > MANY_NUMBERS:
        wanted = [(key, number) for key, number in wanted if _rank(number) <= 2]
    labels = {
        (key, number): room.set_off(str(number), rounded(at[key][number - 1]), away[key][number - 1])
        for key, number in sorted(wanted, key=lambda item: _rank(item[1]))
    }
    return tuple(
        DrawnOutline(
            outline.id,
            outline.part,
            outline_path(sheet, outline),
            tuple(
                DrawnPoint(
                    number,
                    rounded(place),
                    labels.get((outline.id, number)),
                    number in done.get(outline.id, ()),
                    number in doubtful.get(outline.id, ()),
                )
                for number, place in enumerate(at[outline.id], 1)
            ),
        )
        for outline in outlines
    )


def _rank(number: int) -> int:
    if number == 1:
        return 0
    return next((rank for rank, step in ((1, 10), (2, 5), (3, 2)) if number % step == 0), 4)


def _named(sheet: Sheet, spots: Sequence[DrawnSpot]) -> tuple[DrawnSpot, ...]:
    room = LabelRoom(sheet.width, sheet.height, [spot.at for spot in spots])
    return tuple(
        spot
        if spot.kind == "green"
        else replace(spot, label=room.set_beside(spot.name, spot.at, NAME_AWAY_PX))
        for spot in spots
    )


def outward(at: FloatArray, closed: bool) -> FloatArray:
    """Return unit vectors `(N, 2)` to the left of a run of sheet places: of a clockwise ring away from its inside."""
    ahead = np.roll(at, -1, axis=0) if closed else np.vstack([at[1:], at[-1:]])
    behind = np.roll(at, 1, axis=0) if closed else np.vstack([at[:1], at[:-1]])
    run = ahead - behind
    length = np.maximum(np.hypot(run[:, 0], run[:, 1]), 1e-9)
    return np.stack([run[:, 1], -run[:, 0]], axis=1) / length[:, None]


def _greens(sheet: Sheet, site: Site) -> list[DrawnSpot]:
    at = {hole.number: sheet.spot(hole.green_x, hole.green_y) for hole in site.holes}
    return [DrawnSpot("green", f"{number}", place, place) for number, place in at.items()]


def _tees(sheet: Sheet, site: Site) -> list[DrawnSpot]:
    return [drawn_tee(sheet, tee, line_of_play(site, tee).at(0.0)[1]) for tee in site.tees]


def drawn_tee(sheet: Sheet, tee: Tee, play_bearing_deg: FloatArray) -> DrawnSpot:
    """Draw a tee plate, turned square to the play from it."""
    at = sheet.spot(tee.x, tee.y)
    return DrawnSpot("tee", tee.name, at, at, round(float(play_bearing_deg) - sheet.up_bearing_deg, 1))


def _pegs(sheet: Sheet, site: Site) -> list[DrawnSpot]:
    at = {peg: sheet.spot(peg.x, peg.y) for peg in site.pegs}
    return [DrawnSpot(f"{peg.kind} peg", peg.id, place, place) for peg, place in at.items()]


def _names(sheet: Sheet, bunkers: Sequence[LaidOutBunker]) -> list[DrawnSpot]:
    at = {bunker.bunker.name: sheet.spot(*bunker.middle) for bunker in bunkers}
    return [DrawnSpot("bunker", name, place, place) for name, place in at.items()]
