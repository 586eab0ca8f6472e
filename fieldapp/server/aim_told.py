"""A visitor's aim line in words: what it meets from each tee, and a place typed that lies beyond the green."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from fieldapp.model import Hole, Site
from fieldapp.play.hole_yardages import AimLine, BunkerFromTee
from fieldapp.play.line_of_play import line_of_play
from fieldapp.server.yardage_words import UNBROKEN, YardageWords, listed


def aim_meets(table: Sequence[BunkerFromTee], words: YardageWords) -> str:
    """Say what sand an aim line meets from each tee, in one line; "" where there is none to be met.

    Bunkers whose sand edge is an open line are named as not told.
    """
    drawn = [row for row in table if row.on_aim is not None]
    by_tee = {
        tee: [row for row in drawn if row.tee.id == tee] for tee in dict.fromkeys(r.tee.id for r in drawn)
    }
    told = [(rows[0].tee.name, _met(rows, words)) for rows in by_tee.values()]
    if not told:
        return ""
    runs = [([tee for tee, _ in run], met) for met, run in _runs(told)]
    said = "; ".join(f"from {listed(tees)} it meets {met}" for tees, met in runs)
    return f"{said[0].upper()}{said[1:]}.{_not_told(table)}"


def beyond_green(site: Site, hole: Hole, aim: AimLine, ground_scale: float, words: YardageWords) -> str:
    """Say from which tees a place typed lies beyond the middle of the green, and how far; "" where from none."""
    beyond = [
        (words.whole(over_m), tee.name)
        for tee in site.tees_of(hole.number)
        if (over_m := aim.at_m - line_of_play(site, tee).length_m * ground_scale) > 0.0
    ]
    far = [f"{figure}{UNBROKEN}{words.sign} from {tee}" for figure, tee in beyond if figure != "0"]
    return f"That is beyond the middle of the green: {listed(far)}." if far else ""


def _runs(told: Sequence[tuple[str, str]]) -> list[tuple[str, list[tuple[str, str]]]]:
    """Put tees that follow each other and meet the same together."""
    return [(met, list(run)) for met, run in groupby(told, lambda one: one[1])]


def _met(rows: Sequence[BunkerFromTee], words: YardageWords) -> str:
    """Say what sand an aim line from one tee meets, nearest first."""
    ways = sorted(
        (way[0], f"{row.bunker.bunker.name}, {words.between(*way)}{UNBROKEN}{words.sign}")
        for row in rows
        if row.on_aim is not None
        for way in row.on_aim.stretches_m
    )
    return listed([way for _, way in ways]) or "no sand"


def _not_told(table: Sequence[BunkerFromTee]) -> str:
    """Name the bunkers that no aim line is worked out for."""
    names = dict.fromkeys(row.bunker.bunker.name for row in table if not row.bunker.sand.curve.closed)
    return f" Not told of {listed(list(names))}, drawn with an open edge." if names else ""
