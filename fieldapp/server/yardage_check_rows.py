"""What the desk says of yardage checks: what was measured on the ground, against what, and what came of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from fieldapp.model import HeldRecord, LocalGrid, Site, YardageCheck
from fieldapp.model.units import METRES_PER
from fieldapp.server.page_contexts import YardageCheckRow
from fieldapp.server.record_rows import came_by_words, ground_words, minute
from fieldapp.server.yardage_words import MINUS, SIGNS

FIGURE_WORDS = {
    "reach": "front edge (reach)",
    "carry": "far edge (carry)",
    "along": "middle, along the play",
    "offset": "middle, to the side",
}
FINE_BELOW = 0.5
SHOWN_OFF_LINE_M = 0.5


def yardage_check_rows(
    site: Site, held: Sequence[HeldRecord], bunker_id: str | None = None
) -> Iterator[YardageCheckRow]:
    """Yield the real yardage checks that stand, of one bunker or of all, oldest first."""
    for item in held:
        check = item.record
        if not isinstance(check, YardageCheck) or not check.real or item.undone_by is not None:
            continue
        if bunker_id in (None, check.target.bunker):
            yield _row(site, item, check)


def _row(site: Site, item: HeldRecord, check: YardageCheck) -> YardageCheckRow:
    unit, target = site.units.yardage, check.target
    bunker = next((bunker for bunker in site.bunkers if bunker.id == target.bunker), None)
    tee = next((tee.name for tee in site.tees if tee.id == target.tee), target.tee)
    is_fine = check.range95_m is not None and check.range95_m / METRES_PER[unit] < FINE_BELOW
    decimals = 2 if is_fine else 1
    is_sided = target.figure == "offset"
    return YardageCheckRow(
        id=check.id,
        bunker=bunker.name if bunker else target.bunker,
        figure=FIGURE_WORDS[target.figure],
        tee=tee,
        measured=_measured(check, unit, decimals, is_sided),
        planned=f"{_length(check.planned_m, unit, decimals, is_sided)} {target.basis}",
        difference=_difference(check.difference_m, unit, decimals, is_sided),
        tolerance=_length(check.tolerance_m, unit, decimals, is_sided=False),
        verdict=check.verdict,
        person=check.person,
        came_by=came_by_words(item),
        receiver=check.receiver,
        made_at=minute(check.made_at),
        revision=target.revision,
        older=bunker is None or bunker.revision != target.revision,
        tells=tuple(_tells(site, check, item.remarks)),
    )


def _tells(site: Site, check: YardageCheck, remarks: str) -> Iterator[str]:
    if check.settle:
        yield check.settle
    if check.off_line_m is not None and _is_more(check.off_line_m, check.range95_m):
        away = ground_words(abs(check.off_line_m), site.units.ground)
        yield f"Measured {away}{_side(check.off_line_m)} of the straight line to the middle."
    yield from _assumed(site, check)
    if remarks:
        yield remarks


def _assumed(site: Site, check: YardageCheck) -> Iterator[str]:
    """Say what of the figure is not known, and what is taken as exact."""
    if check.reading95_m is None:
        yield "The receiver gave no accuracy figure."
    if check.grid95_m is None:
        yield "How far the grid is off was not known."
    if check.tee95_m is None:
        yield "Tee plate taken as exact."
    if isinstance(site.grid, LocalGrid) and check.grid95_m is not None:
        yield "Direction of the grid taken as given."


def _is_more(off_line_m: float, range95_m: float | None) -> bool:
    """Whether it was farther off the line than the receiver errs, and more than half a step."""
    return range95_m is not None and abs(off_line_m) > max(range95_m, SHOWN_OFF_LINE_M)


def _measured(check: YardageCheck, unit: str, decimals: int, is_sided: bool) -> str:
    value = check.measured_m / METRES_PER[unit]
    figure, side = (abs(value), _side(value)) if is_sided else (value, "")
    if check.range95_m is None:
        return f"{figure:.{decimals}f} {SIGNS[unit]}{side}, range not known"
    tens = 10.0**decimals
    half = math.ceil(check.range95_m / METRES_PER[unit] * tens - 1e-9) / tens
    return f"{figure:.{decimals}f} ± {half:.{decimals}f} {SIGNS[unit]}{side}"


def _length(length_m: float, unit: str, decimals: int, is_sided: bool) -> str:
    value = length_m / METRES_PER[unit]
    if is_sided:
        return f"{abs(value):.{decimals}f} {SIGNS[unit]}{_side(length_m)}"
    return f"{value:.{decimals}f} {SIGNS[unit]}"


def _difference(difference_m: float, unit: str, decimals: int, is_sided: bool) -> str:
    if is_sided:
        return _length(difference_m, unit, decimals, is_sided)
    figure = f"{abs(difference_m) / METRES_PER[unit]:.{decimals}f}"
    sign = "" if float(figure) == 0.0 else "+" if difference_m > 0 else MINUS
    return f"{sign}{figure} {SIGNS[unit]}"


def _side(offset_m: float) -> str:
    return " right" if offset_m >= 0 else " left"
