"""The bunkers of a hole's yardage table in words: one block a bunker, a row for each tee."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import groupby
from urllib.parse import urlencode

from fieldapp.model import Site
from fieldapp.model.units import METRES_PER_YARD
from fieldapp.play.carry import Shot
from fieldapp.play.hole_yardages import BunkerFromTee, Compared, carry_with
from fieldapp.server.hole_contexts import AimRow, BunkerBlock, LiesRow, PlannedRow, PlayRow, StraightRow
from fieldapp.server.yardage_words import BEHIND, DASH, YardageWords, listed

WORTH_TELLING_M = 0.1 * METRES_PER_YARD
"""A difference to what a rangefinder or the grid would say is told where it is larger than this."""
PLANNED = {"reach": "reach", "carry": "carry", "along": "middle, along", "offset": "middle, off the line"}
OPEN_EDGE = (
    "Its sand edge is drawn as an open line, so it has no reach and no carry; close it in the site file."
)


def bunker_blocks(site: Site, table: Sequence[BunkerFromTee], allowance_m: float) -> tuple[BunkerBlock, ...]:
    """Put a hole's table in words; `allowance_m` is added to every carry of a shot."""
    words = YardageWords(site.units.yardage)
    return tuple(
        _block(site, tuple(rows), allowance_m, words)
        for _, rows in groupby(table, lambda row: row.bunker.bunker.id)
    )


def straight_row(row: BunkerFromTee, allowance_m: float, words: YardageWords) -> StraightRow:
    """Put the straight shot at the middle in words."""
    shot = row.to_middle
    return StraightRow(
        tee=row.tee.name,
        middle=words.figure(row.straight_m),
        reach=words.figure(shot.reach_m if shot else None),
        carry=words.figure(carry_with(shot, allowance_m)),
        behind=BEHIND if row.is_behind else "",
    )


def play_row(row: BunkerFromTee, words: YardageWords) -> PlayRow:
    """Put a bunker by the line of play in words."""
    return PlayRow(
        tee=row.tee.name,
        along=words.between(row.along_near_m, row.along_far_m),
        off=words.side(row.offset_m),
        line=(BEHIND,) if row.is_behind else words.sand_on(row.on_line),
    )


def lies_row(row: BunkerFromTee, words: YardageWords) -> LiesRow:
    """Put in words how a bunker lies to the play."""
    return LiesRow(
        tee=row.tee.name,
        width=words.figure(row.to_middle.width_m if row.to_middle else None),
        room=" ".join(filter(None, (words.figure(row.room_m), row.room_side))),
        slant=f"{row.slant_deg:.0f}°",
    )


def lies_words(rows: Sequence[BunkerFromTee]) -> str:
    """Say how a bunker lies, and what its room is to; by tee where that is not the same from all."""
    slants = _from_tees({row.tee.name: row.slant_words for row in rows})
    rooms = _from_tees(
        {row.tee.name: f"room {row.room_side} of it to {row.room_to}" for row in rows if row.room_to}
    )
    told = "; ".join(words for words in (slants, rooms) if words)
    return f"{told[0].upper()}{told[1:]}." if told else ""


def _from_tees(said: Mapping[str, str]) -> str:
    """Join what is said of each tee: once where it is the same from all."""
    kinds = list(dict.fromkeys(said.values()))
    if len(kinds) < 2:
        return "".join(kinds)
    by_kind = {kind: [tee for tee, words in said.items() if words == kind] for kind in kinds}
    return ", ".join(f"{kind} ({listed(tees)})" for kind, tees in by_kind.items())


def _block(site: Site, rows: Sequence[BunkerFromTee], allowance_m: float, words: YardageWords) -> BunkerBlock:
    bunker = rows[0].bunker.bunker
    compared = next((row for row in rows if row.compared), None)
    return BunkerBlock(
        id=bunker.id,
        name=bunker.name,
        revision=bunker.revision,
        note=bunker.note,
        open_edge="" if rows[0].bunker.sand.curve.closed else OPEN_EDGE,
        straight=tuple(straight_row(row, allowance_m, words) for row in rows),
        play=tuple(play_row(row, words) for row in rows),
        lies=tuple(lies_row(row, words) for row in rows),
        lies_words=lies_words(rows),
        aim=tuple(_aim_row(row, allowance_m, words) for row in rows if row.on_aim is not None),
        planned_from=compared.tee.name if compared else "",
        tolerance=words.short(compared.compared[0].tolerance_m) if compared else "",
        planned=_planned(compared, words) if compared else (),
        remarks=tuple(_remarks(rows, allowance_m, words)),
        set_out_url=f"/sites/{site.id}/set-out/{bunker.id}",
        sight_url=f"/sites/{site.id}/holes/{bunker.hole}/sight?{urlencode({'bunker': bunker.id})}",
    )


def _aim_row(row: BunkerFromTee, allowance_m: float, words: YardageWords) -> AimRow:
    shot = row.on_aim
    misses = shot is None or shot.reach_m is None
    return AimRow(
        tee=row.tee.name,
        reach=words.figure(shot.reach_m if shot else None),
        carry=words.figure(carry_with(shot, allowance_m)),
        beside=(f"misses: {BEHIND}" if row.is_behind else words.beside(shot)) if misses else "",
    )


def _planned(row: BunkerFromTee, words: YardageWords) -> tuple[PlannedRow, ...]:
    return tuple(_planned_row(item, row.is_behind, words) for item in row.compared)


def _planned_row(item: Compared, is_behind: bool, words: YardageWords) -> PlannedRow:
    planned = _sided(item.name, item.planned_m, words)
    if is_behind and item.name in ("reach", "carry"):
        return PlannedRow(PLANNED[item.name], planned, DASH, "behind", beyond=True)
    return PlannedRow(
        figure=PLANNED[item.name],
        planned=planned,
        drawn=DASH if item.computed_m is None else _sided(item.name, item.computed_m, words),
        difference=words.change(item.difference_m),
        beyond=item.difference_m is not None and abs(item.difference_m) > item.tolerance_m,
    )


def _sided(name: str, length_m: float, words: YardageWords) -> str:
    return words.side(length_m) if name == "offset" else words.figure(length_m)


def _remarks(rows: Sequence[BunkerFromTee], allowance_m: float, words: YardageWords) -> list[str]:
    """Say which shots cross sand more than once, and where a rangefinder, which reads along the slope, or the course
    grid would give another figure.
    """
    sloping = [
        f"{words.change(row.slope_more_m)} from {row.tee.name}"
        for row in rows
        if row.slope_more_m is not None and abs(row.slope_more_m) > WORTH_TELLING_M
    ]
    by_grid = [
        f"{words.change(row.grid_more_m)} from {row.tee.name}"
        for row in rows
        if abs(row.grid_more_m) > WORTH_TELLING_M
    ]
    ahead = [row for row in rows if not row.is_behind]
    found = [
        *_crossed("The straight shot at its middle", ahead, lambda row: row.to_middle, words),
        *_crossed("Your aim line", ahead, lambda row: row.on_aim, words),
        *_carried(ahead, allowance_m, words),
    ]
    if sloping:
        found.append(
            f"A rangefinder reads along the slope, so to the front edge it shows more, {words.sign}: {listed(sloping)}."
        )
    if by_grid:
        found.append(
            f"The map grid's scale makes the distance on the drawing another, {words.sign}: {listed(by_grid)}."
        )
    return found


def _carried(rows: Sequence[BunkerFromTee], allowance_m: float, words: YardageWords) -> list[str]:
    """Say what carry the line of play asks for with a landing allowance, where it meets the sand."""
    carries = [
        f"{words.figure(carry_m)} from {row.tee.name}"
        for row in rows
        if (carry_m := carry_with(row.on_line, allowance_m)) is not None
    ]
    if not carries or allowance_m == 0.0:
        return []
    added = f"With {words.short_with_unit(allowance_m)} for landing"
    return [f"{added} the line of play itself asks for a carry, {words.sign}: {listed(carries)}."]


def _crossed(
    which: str,
    rows: Sequence[BunkerFromTee],
    of_row: Callable[[BunkerFromTee], Shot | None],
    words: YardageWords,
) -> list[str]:
    """Say where a shot crosses sand more than once, so that nobody takes the grass between for sand."""
    twice = [
        f"{listed([words.between(*way) for way in shot.stretches_m])} from {row.tee.name}"
        for row in rows
        if (shot := of_row(row)) is not None and len(shot.stretches_m) > 1
    ]
    return [f"{which} crosses sand more than once, {words.sign}: {'; '.join(twice)}."] if twice else []
