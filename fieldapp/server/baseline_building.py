"""Builds the base line of a bunker: the string with its stations, chainages and offsets, square corners."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from urllib.parse import urlencode

from fieldapp.model.units import METRES_PER
from fieldapp.server.bunker_head import bunker_head, left_out_words
from fieldapp.server.hole_contexts import Choice
from fieldapp.server.peg_drawing import PegDrawing, draw_pegs, fit_pegs
from fieldapp.server.plan_sheet import Place
from fieldapp.server.tape_words import TapeWords
from fieldapp.server.tie_building import MOST_HEIGHT_PX, SKETCH_WIDTH_PX, ground_of_pegs
from fieldapp.server.tie_contexts import BaselinePage, SquareGroup, SquareRow
from fieldapp.tape.baseline import equal_diagonals, point_at, right_angle_sides
from fieldapp.tape.bunker_points import BunkerPoints, LeftOut
from fieldapp.tape.squared_bunker import SquaredBunker, SquaredPlace
from fieldapp.tape.ties import Tape, TiePeg
from fieldapp.workflow.sites import StandingSite

MOST_STATIONS = 12
STATION_STEPS = (1, 2, 5, 10, 20, 50, 100)


@dataclass(frozen=True, eq=False)
class BaselineAsked:
    """What is asked of the page: the ends of the string and the spacing as they were typed, and what is wrong."""

    start: str
    end: str
    every_typed: str
    faults: tuple[str, ...]


def baseline_page(
    standing: StandingSite,
    asked: BaselineAsked,
    points: BunkerPoints,
    pegs: Sequence[TiePeg],
    left_out: Sequence[LeftOut],
    squared: SquaredBunker | None,
    tape: Tape,
    today: date,
) -> BaselinePage:
    """Build the page; `squared` is None where there is no string to show."""
    words, head = TapeWords(standing.site.units.ground), bunker_head(standing, points, tape, today)
    query = urlencode({"from": asked.start, "to": asked.end, "every": asked.every_typed})
    return BaselinePage(
        head=head,
        faults=asked.faults,
        needs=_needs(pegs),
        starts=_choices(pegs, asked.start),
        ends=_choices(pegs, asked.end),
        every_typed=asked.every_typed,
        shown=squared is not None,
        start=asked.start,
        end=asked.end,
        length="" if squared is None else words.with_unit(squared.length_m),
        string_words="" if squared is None else _string_words(squared, words),
        drawing=None if squared is None else _drawing(standing, squared, words),
        groups=() if squared is None else _groups(squared, words),
        by_points=squared is None or squared.every_m is None,
        square=() if squared is None else _square(squared, words),
        diagonals=() if squared is None else _diagonals(squared, words),
        left_out=left_out_words(left_out),
        notes=_notes(words, tape),
        csv_url=f"{head.baseline_url}.csv?{query}",
    )


def _needs(pegs: Sequence[TiePeg]) -> str:
    if len(pegs) > 1:
        return ""
    stands = "only one peg stands" if pegs else "no peg stands"
    return f"A string needs two pegs; near this bunker {stands}."


def _choices(pegs: Sequence[TiePeg], chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(peg.id, peg.id, peg.id == chosen) for peg in pegs)


def _string_words(squared: SquaredBunker, words: TapeWords) -> str:
    length = words.with_unit(squared.length_m)
    long = squared.length_m > squared.tape.length_m
    tape = " It is longer than the tape: put a mark on it, and go on from there." if long else ""
    return (
        f"From {squared.start.id} to {squared.end.id}, {length} level. Chainage counts from {squared.start.id}; right "
        f"and left are as seen looking from {squared.start.id} to {squared.end.id}.{tape}"
    )


def _groups(squared: SquaredBunker, words: TapeWords) -> tuple[SquareGroup, ...]:
    return tuple(
        SquareGroup(
            squared.points.laid_out.called(outline), tuple(_row(place, squared, words) for place in places)
        )
        for outline, places in groupby(squared.places, lambda place: place.outline)
    )


def _row(place: SquaredPlace, squared: SquaredBunker, words: TapeWords) -> SquareRow:
    row = place.row
    beyond = "" if row.is_on_string else (squared.start.id if row.chainage_m < 0 else squared.end.id)
    return SquareRow(
        number="" if place.number is None else f"{place.number}",
        chainage=words.figure(row.chainage_m),
        offset=words.offset(row.offset_m),
        error=f"± {words.error(row.ellipse.major_m)}",
        beyond=f"beyond {beyond}" if beyond else "",
    )


def _square(squared: SquaredBunker, words: TapeWords) -> tuple[str, ...]:
    along, off, across = (words.with_unit(side) for side in right_angle_sides(squared.square_unit_m))
    return (
        f"From the foot of the square measure {along} along the string and mark it.",
        f"Hook one tape on the foot, another on the mark: where {off} from the foot and {across} from the mark meet, "
        "the line from the foot is square (3-4-5).",
        "Go on along that line to the offset.",
    )


def _diagonals(squared: SquaredBunker, words: TapeWords) -> tuple[str, ...]:
    """Say the figures of a frame on the string round the bunker, in whole units, whose diagonals are equal."""
    unit_m = METRES_PER[words.unit]
    rows = [place.row for place in squared.places]
    if not rows:
        return ()
    low = _whole(min(row.chainage_m for row in rows), unit_m, math.floor)
    high = _whole(max(row.chainage_m for row in rows), unit_m, math.ceil)
    right = max(row.offset_m for row in rows)
    left = -min(row.offset_m for row in rows)
    width, side = (right, "right") if right >= left else (left, "left")
    width = max(_whole(width, unit_m, math.ceil), unit_m)
    length = max(high - low, unit_m)
    diagonal = equal_diagonals(length, width)
    long = (
        " Where the tape is shorter, make two frames of half the length."
        if diagonal > squared.tape.length_m
        else ""
    )
    return (
        f"A frame round the bunker: on the string from {words.figure(low)} to {words.figure(high)}, so "
        f"{words.with_unit(length)} long, and {words.with_unit(width)} to the {side}.",
        f"It is square where both diagonals are {words.with_unit(diagonal)}.{long}",
    )


def _whole(length_m: float, unit_m: float, to_whole: Callable[[float], int]) -> float:
    """Return a length in whole units; what is one but for rounding stays it."""
    return to_whole(round(length_m / unit_m, 6)) * unit_m


def _drawing(standing: StandingSite, squared: SquaredBunker, words: TapeWords) -> PegDrawing:
    points, scale = squared.points, squared.points.scale
    ground = ground_of_pegs(standing, points, (squared.start, squared.end))
    string = _course(squared.start.xy, scale), _course(squared.end.xy, scale)
    stations = []
    for chainage in _stations_m(squared.length_m, METRES_PER[words.unit]):
        x, y = point_at(chainage, 0.0, squared.start.xy, squared.end.xy).tolist()
        stations.append((f"{chainage / METRES_PER[words.unit]:.0f}", _course((x, y), scale)))
    sheet = fit_pegs(ground, SKETCH_WIDTH_PX, MOST_HEIGHT_PX)
    return draw_pegs(ground, sheet, string=string, stations=stations)


def _stations_m(length_m: float, unit_m: float) -> list[float]:
    step = next(
        (step for step in STATION_STEPS if length_m / unit_m / step <= MOST_STATIONS), STATION_STEPS[-1]
    )
    count = math.ceil(length_m / unit_m / step - 0.4)
    return [number * step * unit_m for number in range(1, count)]


def _course(xy: tuple[float, float], scale: float) -> Place:
    return xy[0] / scale, xy[1] / scale


def _notes(words: TapeWords, tape: Tape) -> tuple[str, ...]:
    return (
        "Stretch the string tight from peg to peg, clear of the grass, and lay the tape along it from the first.",
        "At each chainage go square off the string, to the side told, and mark the offset.",
        f"Expected is 95 times in 100, by a tape true to {words.error(tape.error_m)} (one sigma), squares set by "
        "3-4-5, pegs that stand as told. Long offsets turn with the square: from about half a tape on, ties are truer.",
        "Chainages and offsets are level; on a slope hold the tape level.",
        "Have buried services located before a peg is driven.",
    )
