"""The drop of a level by the earth's curvature and by refraction, against printed figures."""

import pytest

from fieldapp.play.section import REFRACTION, curvature_drop_m


def test_the_curvature_at_one_kilometre_is_78_5_mm():
    """0.0785 m at 1 km: levelling textbooks (value from memory); d^2 / 2R with R = 6370 km is 0.07849."""
    assert float(curvature_drop_m(1000.0, refraction=0.0)) == pytest.approx(0.0785, abs=5e-5)


def test_curvature_and_refraction_together_are_0_0673_of_the_square_of_the_kilometres():
    """Combined correction 0.0673 d^2 (d in km): Universiti Sains Malaysia, levelling notes (JSSUAE1).

    The trap: those notes take refraction as a seventh of the curvature, so 6/7 of it are left, k = 0.143. The program
    takes k = 0.13, as most surveyors do by day, and drops a level by 0.0683 m at 1 km.
    """
    assert float(curvature_drop_m(1000.0, refraction=1 / 7)) == pytest.approx(0.0673, abs=5e-5)
    assert float(curvature_drop_m(1000.0)) == pytest.approx(0.0683, abs=5e-5)
    assert REFRACTION == 0.13


def test_at_250_yards_it_is_3_6_mm():
    assert float(curvature_drop_m(250 * 0.9144)) == pytest.approx(0.0036, abs=5e-5)
