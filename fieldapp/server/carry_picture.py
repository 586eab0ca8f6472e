"""Carry against aim as a picture to scale: the sand from above with aims over it, and the carry needed below it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fieldapp.model.units import METRES_PER
from fieldapp.outline.curve import Curve
from fieldapp.play.carry import AimFan
from fieldapp.server.hole_contexts import AimRay, CarryPicture, Tick
from fieldapp.server.plan_sheet import FloatArray, Sheet, rounded, scale_bar, svg_path
from fieldapp.server.yardage_words import YardageWords

WIDTH_PX = 340.0
SAND_HALF_PX = 126.0
"""The sand reaches at most so far to either side of the middle: figures stand outside."""
SAND_HEIGHT_PX = 420.0
HEAD_PX, FOOT_PX = 58.0, 34.0
"""Room above the sand for the carries, and below it for the aims that come in."""
CHART_PX = 150.0
CHART_GAP_PX, AXIS_PX = 66.0, 26.0
FIGURE_PX = 42.0
TRACE_PX = 0.1
LEAST_STEP, MOST_STEPS = 0.1, 5


@dataclass(frozen=True)
class Aimed:
    """A bunker's sand as it is aimed at from a tee: places in course metres, `ground_scale` ground by course metres."""

    curve: Curve
    tee_xy: tuple[float, float]
    middle_xy: tuple[float, float]
    fan: AimFan
    ground_scale: float

    @property
    def straight_m(self) -> float:
        """Ground metres from plate to middle."""
        return math.dist(self.tee_xy, self.middle_xy) * self.ground_scale

    def aside_m(self, off_line_deg: FloatArray) -> FloatArray:
        """Return how far off the middle, right positive, aims pass it, ground metres."""
        return np.asarray(np.tan(np.deg2rad(off_line_deg)) * self.straight_m)


def carry_picture(aimed: Aimed, allowance_m: float, words: YardageWords, ground_unit: str) -> CarryPicture:
    """Draw the picture; `allowance_m` is added to every carry figure, not to the sand."""
    sheet = _sheet(aimed)
    top = sheet.height + CHART_GAP_PX
    chart = _Chart(sheet, aimed, allowance_m, words, top)
    bar = scale_bar(sheet, aimed.ground_scale, ground_unit)
    return CarryPicture(
        width=sheet.width,
        height=round(top + CHART_PX + AXIS_PX, 1),
        sand=svg_path(sheet.place(aimed.curve.trace(TRACE_PX / sheet.px_per_m))) + "Z",
        rays=tuple(_rays(sheet, aimed, allowance_m, words)),
        bar_px=bar.px,
        bar_label=bar.label,
        chart_top=round(top, 1),
        chart_foot=round(top + CHART_PX, 1),
        curve=chart.curve(),
        ticks=chart.ticks(),
        across=chart.across(),
    )


def _sheet(aimed: Aimed) -> Sheet:
    """Return the sheet with the straight line tee to middle upright in its midst."""
    ahead = np.array(aimed.middle_xy) - aimed.tee_xy
    up_deg = math.degrees(math.atan2(ahead[0], ahead[1]))
    flat = Sheet(aimed.middle_xy, up_deg, 1.0, 0.0, 0.0).place(aimed.curve.trace(0.01))
    aside = np.abs(aimed.aside_m(aimed.fan.off_line_deg)).max() / aimed.ground_scale
    wide = max(float(np.abs(flat[:, 0]).max()), float(aside), 0.5)
    low, high = float(flat[:, 1].min()), float(flat[:, 1].max())
    px_per_m = min(SAND_HALF_PX / wide, SAND_HEIGHT_PX / max(high - low, 1.0))
    height = (high - low) * px_per_m + HEAD_PX + FOOT_PX
    down = (high + low) / 2 + (FOOT_PX - HEAD_PX) / 2 / px_per_m
    up = np.deg2rad(up_deg)
    centre = np.array(aimed.middle_xy) - down * np.array([np.sin(up), np.cos(up)])
    return Sheet((float(centre[0]), float(centre[1])), up_deg, px_per_m, WIDTH_PX, round(height, 1))


def _rays(sheet: Sheet, aimed: Aimed, allowance_m: float, words: YardageWords) -> list[AimRay]:
    found = []
    for index in _aims_with_room(sheet, aimed):
        end = sheet.place(_end(aimed, index))
        foot = _at_height(sheet, aimed.tee_xy, _end(aimed, index), sheet.height)
        head = np.array([end[0], HEAD_PX - 18.0])
        found.append(
            AimRay(
                path=svg_path(np.array([foot, end])),
                lead=svg_path(np.array([end, head])),
                figure=words.figure(float(aimed.fan.carry_m[index]) + allowance_m),
                at=rounded(head),
                end=rounded(end),
            )
        )
    return found


def _aims_with_room(sheet: Sheet, aimed: Aimed) -> list[int]:
    """Return as many aims, evenly from edge to edge, as there is room for their figures side by side."""
    met = np.flatnonzero(np.isfinite(aimed.fan.carry_m))
    for count in (7, 5, 3):
        chosen = met[np.linspace(0, len(met) - 1, count).round().astype(int)]
        across = [float(sheet.place(_end(aimed, index))[0]) for index in chosen]
        if min(np.diff(across)) >= FIGURE_PX:
            return [int(index) for index in chosen]
    return [int(met[np.nanargmax(aimed.fan.carry_m[met])])]


def _end(aimed: Aimed, index: int) -> FloatArray:
    """Return where the sand ends on one aim, course metres."""
    turn, far = np.deg2rad(aimed.fan.bearing_deg[index]), aimed.fan.carry_m[index] / aimed.ground_scale
    return np.asarray(np.array(aimed.tee_xy) + far * np.array([np.sin(turn), np.cos(turn)]))


def _at_height(sheet: Sheet, from_xy: tuple[float, float], to_xy: FloatArray, y: float) -> FloatArray:
    """Return the sheet place at which a ray crosses a height; its start where that is above it."""
    start, end = sheet.place(from_xy), sheet.place(to_xy)
    share = (y - start[1]) / (end[1] - start[1])
    return np.asarray(start + max(float(share), 0.0) * (end - start))


def _round_step(least: float) -> float:
    """Return the least of 0.1, 0.2, 0.5, 1, 2, 5, 10 and so on that is no less than `least`."""
    ten = 10.0 ** math.floor(math.log10(max(least, LEAST_STEP)))
    return next(step for step in (ten, 2 * ten, 5 * ten, 10 * ten) if step >= max(least, LEAST_STEP))


class _Chart:
    """The carry needed, upward, against the aim, across on the scale of the sand above it."""

    def __init__(
        self, sheet: Sheet, aimed: Aimed, allowance_m: float, words: YardageWords, top: float
    ) -> None:
        met = np.isfinite(aimed.fan.carry_m)
        self._words, self._top, self._sheet = words, top, sheet
        self._unit_m = METRES_PER[words.unit]
        self._px_per_unit = sheet.px_per_m / aimed.ground_scale * self._unit_m
        self._carry = (aimed.fan.carry_m[met] + allowance_m) / self._unit_m
        self._aside = aimed.aside_m(aimed.fan.off_line_deg[met]) / self._unit_m
        spread = max(float(np.ptp(self._carry)), 0.5)
        self._step = _round_step(spread / MOST_STEPS)
        self._low = math.floor(float(self._carry.min()) / self._step) * self._step
        self._high = math.ceil(float(self._carry.max()) / self._step) * self._step
        self._high = max(self._high, self._low + self._step)

    def curve(self) -> str:
        """Return the curve as an SVG path."""
        return svg_path(np.stack([self._x(self._aside), self._y(self._carry)], axis=1))

    def ticks(self) -> tuple[Tick, ...]:
        """Return the lines of the scale upward."""
        count = round((self._high - self._low) / self._step)
        decimals = 1 if self._step < 1 else 0
        values = [self._low + number * self._step for number in range(count + 1)]
        return tuple(
            Tick(round(float(self._y(np.array(value))), 1), f"{value:.{decimals}f}") for value in values
        )

    def across(self) -> tuple[Tick, ...]:
        """Return the lines of the scale across: units off the middle, the side in words at the outer ones."""
        reach = float(np.abs(self._aside).max())
        step = _round_step(min((FIGURE_PX + 4) / self._px_per_unit, reach))
        furthest = math.floor(reach / step + 1e-9)
        return tuple(
            Tick(round(float(self._x(np.array(number * step))), 1), self._side(number * step))
            for number in range(-furthest, furthest + 1)
        )

    def _side(self, value: float) -> str:
        if value == 0:
            return "middle"
        return f"{abs(value):g} {'right' if value > 0 else 'left'}"

    def _x(self, aside: FloatArray) -> FloatArray:
        return np.asarray(self._sheet.width / 2 + aside * self._px_per_unit)

    def _y(self, carry: FloatArray) -> FloatArray:
        share = (carry - self._low) / (self._high - self._low)
        return np.asarray(self._top + CHART_PX * (1 - share))
