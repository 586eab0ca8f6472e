"""What a bunker measures as it is drawn beside what it is planned to, in words."""

from __future__ import annotations

from collections.abc import Callable

from fieldapp.model import Site
from fieldapp.model.units import METRES_PER
from fieldapp.outline.drawn_figures import DrawnFigures, drawn_figures
from fieldapp.outline.laid_out import LaidOutBunker, first_tee
from fieldapp.outline.measure import angle_to_play_deg, measure
from fieldapp.play.standing_plan import standing_plan
from fieldapp.server.page_contexts import Figure
from fieldapp.server.record_rows import ground_words
from fieldapp.server.yardage_words import BEHIND, DASH, YardageWords


def drawn_against_planned(
    site: Site, laid_out: LaidOutBunker, scale: float
) -> tuple[str, tuple[Figure, ...]]:
    """Return the name of the tee that a bunker is planned from, else the first, and its figures from there."""
    bunker = laid_out.bunker
    plan = standing_plan(bunker)
    tee = site.tee(plan.tee) if plan else first_tee(site, site.hole(bunker.hole))
    drawn = drawn_figures(site, laid_out, tee, scale)
    words = YardageWords(site.units.yardage)
    rows = (
        ("middle, along the line of play", "along_m", words.with_unit),
        ("middle, off the line of play", "offset_m", words.side_with_unit),
        ("reach: first sand, straight from the tee", "reach_m", words.with_unit),
        ("carry: last sand, straight from the tee", "carry_m", words.with_unit),
    )
    axis = measure(laid_out.sand.curve)
    slant_deg = angle_to_play_deg(axis.long_axis_bearing_deg, laid_out.play_bearing_deg)
    slant = "nearly round" if axis.is_nearly_round else f"{slant_deg:.0f}°"
    return tee.name, (
        *(
            Figure(name, _drawn(drawn, key, write), _or_dash(getattr(plan, key, None), write))
            for name, key, write in rows
        ),
        Figure("long axis", ground_words(axis.long_axis_m * scale, site.units.ground), "–"),
        Figure("long axis to the line of play", slant, "–"),
    )


def _drawn(drawn: DrawnFigures, key: str, write: Callable[[float], str]) -> str:
    """Write a drawn figure; sand behind the tee has neither reach nor carry."""
    if drawn.is_behind and key in ("reach_m", "carry_m"):
        return BEHIND
    return _or_dash(getattr(drawn, key), write)


def _or_dash(length_m: float | None, write: Callable[[float], str]) -> str:
    return DASH if length_m is None else write(length_m)


def area_words(value_m2: float | None, unit: str) -> str:
    """Write an area in the unit of the ground; a dash where there is none."""
    if value_m2 is None:
        return DASH
    if unit == "foot":
        return f"{value_m2 / METRES_PER['foot'] ** 2:.0f} ft²"
    return f"{value_m2:.1f} m²"
