"""How a drawing is best read, guessed from its own words and from where each reading of its numbers lands."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from fieldapp.model.drawing_reading import (
    BY_PEGS,
    COURSE,
    LONLAT,
    UNKNOWN_UNIT,
    AxisOrder,
    DrawingReading,
    unit_named,
)

NEAR_M = 600.0
"""A reading lands on the hole where some of the drawing comes so near to its line of play: a choice."""
UNITS = ("metre", "foot", "us-survey-foot", "yard", "centimetre", "millimetre", "inch", "kilometre")
Land = Callable[[DrawingReading], float | None]
"""How far from the hole, in metres, a drawing comes to lie when it is read so; None where it has no place at all."""


@dataclass(frozen=True)
class OwnWords:
    """What a file says of itself, and its site: `utm` is the zone that the site lies in, such as "EPSG:32630".

    `unit_m` is metres per unit; `system` "lonlat", "EPSG:n", "course" or None; `in_degrees` that every number could be
    one; `site_unit` is the unit that the site's own coordinates are written in.
    """

    unit_m: float | None
    system: str | None
    in_degrees: bool
    site_unit: str
    utm: str | None
    hole: str


@dataclass(frozen=True)
class Guess:
    """How a drawing is best read, and why: a sentence for the unit, the order of axes and the system."""

    reading: DrawingReading
    unit_why: str
    order_why: str
    system_why: str


def guessed(words: OwnWords, land: Land) -> Guess:
    """Guess a reading: the likeliest that lands near the hole; what the file says comes before all else."""
    tried = [(reading, land(reading)) for reading in _likely(words)]
    landing = next(((reading, away) for reading, away in tried if away is not None and away <= NEAR_M), None)
    if landing is not None:
        return _landed(words, *landing, land)
    if words.system is not None:
        reading, away = tried[0]
        return _astray(words, reading, away)
    return Guess(
        DrawingReading(BY_PEGS, unit_named(words.unit_m) or UNKNOWN_UNIT),
        _unit_words(words),
        "The usual order.",
        f"However its numbers are read, nothing of it comes within {NEAR_M:.0f} m of {words.hole}: "
        "say which of its places are which pegs or tee plates.",
    )


def _likely(words: OwnWords) -> Iterator[DrawingReading]:
    """Yield readings, the likelier first."""
    orders: tuple[AxisOrder, ...] = ("xy", "yx")
    units = list(dict.fromkeys([*filter(None, [unit_named(words.unit_m)]), words.site_unit, *UNITS]))
    if words.system is not None:
        first = units if words.system != LONLAT else ["metre"]
        yield from (DrawingReading(words.system, unit, order) for unit in first for order in orders)
    if words.system != COURSE:
        yield from (DrawingReading(COURSE, unit, order) for unit in units for order in orders)
    if words.in_degrees and words.system != LONLAT:
        yield from (DrawingReading(LONLAT, "metre", order) for order in orders)
    if words.utm is not None and not words.in_degrees:
        yield from (DrawingReading(words.utm, unit, order) for unit in units[:3] for order in orders)


def _landed(words: OwnWords, reading: DrawingReading, away_m: float, land: Land) -> Guess:
    turned = replace(reading, order="yx" if reading.order == "xy" else "xy")
    return Guess(
        reading,
        "Degrees have no unit of length."
        if reading.system == LONLAT
        else _landed_unit(words, reading, away_m, land),
        _order_words(words, reading, away_m, land(turned)),
        _landed_system(words, reading, away_m),
    )


def _landed_unit(words: OwnWords, reading: DrawingReading, away_m: float, land: Land) -> str:
    said = unit_named(words.unit_m)
    if said == reading.unit:
        return f"The file says so, and it lands {_far(away_m)} {words.hole}."
    if said is not None:
        other = land(replace(reading, unit=said))
        return (
            f"The file says {said}, but read so it lies {_away(other)} {words.hole}; "
            f"in this unit it lands {_far(away_m)} it."
        )
    if reading.unit == words.site_unit:
        return (
            f"The file does not say; this is the unit of the site, and it lands {_far(away_m)} {words.hole}."
        )
    other = land(replace(reading, unit=words.site_unit))
    return (
        f"The file does not say; read in {words.site_unit} it would lie {_away(other)} {words.hole}, "
        f"in this unit it lands {_far(away_m)} it."
    )


def _landed_system(words: OwnWords, reading: DrawingReading, away_m: float) -> str:
    if reading.system == words.system:
        return f"The file says so or looks so, and it lands {_far(away_m)} {words.hole}."
    if words.system is not None:
        return f"The file points to {words.system}, but read as this it lands {_far(away_m)} {words.hole}."
    return f"The file does not say; read as this it lands {_far(away_m)} {words.hole}."


def _order_words(words: OwnWords, reading: DrawingReading, away_m: float, turned_m: float | None) -> str:
    if reading.order == "xy":
        return "The usual order, and it fits."
    return (
        f"In the usual order it would lie {_away(turned_m)} {words.hole}; the other way round it lands "
        f"{_far(away_m)} it."
    )


def _astray(words: OwnWords, reading: DrawingReading, away_m: float | None) -> Guess:
    return Guess(
        reading,
        _unit_words(words),
        "The usual order.",
        f"The file says so, but read so it lies {_away(away_m)} {words.hole}: check it, or fit it by pegs.",
    )


def _unit_words(words: OwnWords) -> str:
    return "The file says so." if unit_named(words.unit_m) else "The file does not say."


def _far(away_m: float) -> str:
    return "on" if away_m < 60 else f"{away_m:.0f} m from"


def _away(away_m: float | None) -> str:
    if away_m is None:
        return "nowhere on the earth that can be reached from"
    return f"{away_m:,.0f} m from" if away_m < 10_000 else f"{away_m / 1000:,.0f} km from"
