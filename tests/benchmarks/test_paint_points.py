"""A curve, its paint points and its trace, timed."""

import time

import numpy as np
import pytest

from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.outline.paint_points import paint_points

pytestmark = pytest.mark.benchmark

TEE = (3.0, -160.0)


def test_tracing_and_paint_points_of_200_control_points_take_less_than_50_ms(capsys):
    turn = np.linspace(0, 2 * np.pi, 200, endpoint=False)
    radius = 8 + 1.5 * np.sin(3 * turn) + 0.8 * np.cos(7 * turn)
    xy = np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1).tolist()
    shape = DrawnShape(tuple(ControlPoint(*point) for point in xy), "smooth", True)
    took_ms = []
    for _ in range(7):
        start = time.perf_counter()
        curve = build_curve(shape)
        made = paint_points(curve, TEE, 1.0, 0.02)
        curve.trace(0.0002, made.start_m)
        took_ms.append((time.perf_counter() - start) * 1000)
    with capsys.disabled():
        print(f"\ncurve, paint points and trace of 200 control points: {min(took_ms):.1f} ms")
    assert min(took_ms) < 50
