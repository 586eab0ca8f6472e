"""Whether a check-in or a trial fits the site's pegs, and whether a position is anywhere near the site."""

from __future__ import annotations

import math
from collections.abc import Iterator

from fieldapp.model import CheckIn, Fix, StoodReading, Trial
from fieldapp.workflow.sites import StandingSite

SAME_PLACE_M = 0.01
FARTHEST_M = 20_000.0
LARGEST_SHIFT_M = 50.0


def elsewhere_words(
    standing: StandingSite, at: Fix | StoodReading, course_xy: tuple[float, float] | None
) -> str:
    """Say how far away a position lies that is nowhere near the site; empty when it is near."""
    if course_xy is not None and math.dist(course_xy, standing.middle_xy) <= FARTHEST_M:
        return ""
    away_m = standing.away_m(at.lat_deg, at.lon_deg)
    if away_m <= FARTHEST_M:
        return ""
    return f"The position lies {away_m / 1000:,.0f} km from the site."


def peg_misfits(
    record: CheckIn | Trial, standing: StandingSite, course_xy: tuple[float, float] | None
) -> Iterator[str]:
    """Yield sentences about a check-in or trial that does not fit; `course_xy` is its position, metres."""
    yield from _peg_words(record, standing)
    shift = _shift_m(record)
    if math.hypot(*shift) > LARGEST_SHIFT_M:
        yield (
            f"It lies {math.hypot(*shift):,.0f} m from peg '{record.peg}', more than a receiver errs: "
            "was it another peg?"
        )
    if isinstance(record, CheckIn):
        yield from _reading_words(record, standing, course_xy)


def _shift_m(record: CheckIn | Trial) -> tuple[float, float]:
    if isinstance(record, CheckIn):
        return record.shift_x_m, record.shift_y_m
    return record.offset_x_m, record.offset_y_m


def _peg_words(record: CheckIn | Trial, standing: StandingSite) -> Iterator[str]:
    peg = next((peg for peg in standing.site.pegs if peg.id == record.peg), None)
    if peg is None:
        yield f"The site has no peg '{record.peg}'."
        return
    apart = math.dist((peg.x, peg.y), (record.peg_x, record.peg_y))
    if apart > SAME_PLACE_M:
        yield f"The phone's peg '{peg.id}' lies {apart:,.2f} m from where the site has it now."


def _reading_words(
    check_in: CheckIn, standing: StandingSite, course_xy: tuple[float, float] | None
) -> Iterator[str]:
    elsewhere = elsewhere_words(standing, check_in.reading, course_xy)
    if elsewhere or course_xy is None:
        yield elsewhere or "The position lies outside the course grid."
        return
    found = course_xy[0] - check_in.peg_x, course_xy[1] - check_in.peg_y
    apart = math.dist(found, _shift_m(check_in))
    if apart > SAME_PLACE_M:
        yield f"The phone's shift differs by {apart:,.2f} m from what its reading says."
