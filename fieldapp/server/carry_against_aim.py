"""Carry against aim in words: the least and the most carry in a sentence, a table of aims, and the picture."""

from __future__ import annotations

import numpy as np

from fieldapp.model import Site
from fieldapp.play.carry import AimFan, aim_fan
from fieldapp.play.hole_yardages import BunkerFromTee
from fieldapp.server.carry_picture import Aimed, carry_picture
from fieldapp.server.hole_contexts import AimedRow, CarryAgainstAim
from fieldapp.server.yardage_words import YardageWords, degrees_aside

AIMS = 11
"""Aims in the table, evenly from one edge of the sand to the other."""
WIDEST_DEG = 90.0
"""Sand that fills more of the view than this is not aimed across."""


def no_carry_words(row: BunkerFromTee) -> str:
    """Say why there is no carry against aim for a bunker from a tee, or "" where there is."""
    if not row.bunker.sand.curve.closed:
        name = row.bunker.bunker.name
        return f"{name} has an open sand edge, so there is no carry over it; close it in the site file."
    if row.is_behind:
        name, tee = row.bunker.bunker.name, row.tee.name
        return f"{name} lies behind {tee}, so no shot from there is carried over it; choose another tee."
    return ""


def carry_against_aim(
    site: Site, row: BunkerFromTee, ground_scale: float, allowance_m: float
) -> CarryAgainstAim | str:
    """Work out carry against aim for a bunker from a tee; a sentence where the sand fills the view."""
    tee, middle, curve = (row.tee.x, row.tee.y), row.bunker.middle, row.bunker.sand.curve
    fan = aim_fan(curve, tee, middle, ground_scale)
    if np.ptp(fan.off_line_deg) > WIDEST_DEG:
        return (
            f"Seen from {row.tee.name} the sand of {row.bunker.bunker.name} fills more than {WIDEST_DEG:.0f}° of the "
            "view, so no shot is aimed across it; choose another tee."
        )
    words = YardageWords(site.units.yardage)
    aimed = Aimed(curve, tee, middle, fan, ground_scale)
    return CarryAgainstAim(
        bunker=row.bunker.bunker.name,
        tee=row.tee.name,
        told=_told(fan, allowance_m, words),
        ends=_ends(row, words),
        picture=carry_picture(aimed, allowance_m, words, site.units.ground),
        rows=tuple(_rows(aimed, allowance_m, words)),
    )


def _rows(aimed: Aimed, allowance_m: float, words: YardageWords) -> list[AimedRow]:
    fan = aimed.fan
    chosen = np.linspace(0, len(fan.carry_m) - 1, AIMS).round().astype(int)
    return [
        AimedRow(
            angle=degrees_aside(float(fan.off_line_deg[index])),
            aside=words.to_the(float(aimed.aside_m(fan.off_line_deg[index]))),
            reach=words.figure(_or_none(fan.reach_m[index])),
            carry=words.figure(_or_none(fan.carry_m[index] + allowance_m)),
        )
        for index in chosen
    ]


def _told(fan: AimFan, allowance_m: float, words: YardageWords) -> str:
    met = np.flatnonzero(np.isfinite(fan.carry_m))
    carry, off = fan.carry_m[met] + allowance_m, fan.off_line_deg[met]
    left, right = float(carry[0]), float(carry[-1])
    told = (
        f"Aiming at its left end asks for a carry of {words.with_unit(left)}, at its right end "
        f"{words.with_unit(right)}: {_more(right - left, words)} for {off[-1] - off[0]:.1f}° of line."
    )
    return told + _extremes(carry, off, words)


def _ends(row: BunkerFromTee, words: YardageWords) -> str:
    if row.nearest_m is None or row.furthest_m is None:
        return ""
    nearest, furthest = words.with_unit(row.nearest_m), words.with_unit(row.furthest_m)
    return f"At any aim the nearest sand is {nearest} from the plate, the furthest {furthest}."


def _more(difference_m: float, words: YardageWords) -> str:
    figure = words.with_unit(abs(difference_m))
    if figure.startswith("0.0"):
        return "no more carry"
    return f"{figure} {'more' if difference_m > 0 else 'less'} carry"


def _extremes(carry: np.ndarray, off: np.ndarray, words: YardageWords) -> str:
    """Tell the least and the most where they are not those of the two ends."""
    told = ""
    for word, index in (("least", int(np.argmin(carry))), ("most", int(np.argmax(carry)))):
        figure = words.with_unit(float(carry[index]))
        if figure not in (words.with_unit(float(carry[0])), words.with_unit(float(carry[-1]))):
            told += f" The {word} is {figure}, aiming {_of_middle(float(off[index]))}."
    return told


def _of_middle(angle_deg: float) -> str:
    side, _, angle = degrees_aside(angle_deg).partition(" ")
    return f"{angle} {side} of its middle" if angle else "at its middle"


def _or_none(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
