"""Places on a drawn sheet."""

import numpy as np
import pytest

from fieldapp.server.plan_sheet import Sheet, fit_sheet, scale_bar


def test_the_up_bearing_points_up_the_sheet():
    sheet = Sheet((100.0, 200.0), up_bearing_deg=90.0, px_per_m=2.0, width=400.0, height=300.0)
    assert sheet.spot(100.0, 200.0) == (200.0, 150.0)
    assert sheet.spot(110.0, 200.0) == (200.0, 130.0)
    assert sheet.spot(100.0, 210.0) == (180.0, 150.0)


@pytest.mark.parametrize("up", [0.0, 37.0, 145.0, 301.0])
def test_everything_fits_inside_the_margin_at_any_turn(up):
    reach = np.random.default_rng(7).uniform(-200, 300, (40, 2)) + np.array([5000, 90000])
    sheet = fit_sheet(reach, up, width=800.0, most_height=600.0, margin=50.0)
    places = sheet.place(reach)
    assert places[:, 0].min() >= 49.9
    assert places[:, 0].max() <= 750.1
    assert places[:, 1].min() >= 49.9
    assert places[:, 1].max() <= sheet.height - 49.9


def test_the_scale_bar_is_a_round_length_drawn_true():
    sheet = Sheet((0.0, 0.0), 0.0, px_per_m=3.0, width=620.0, height=400.0)
    bar = scale_bar(sheet, ground_scale=1.0, ground_unit="metre")
    assert (bar.label, bar.px) == ("50 m", 150.0)


def test_the_scale_bar_speaks_feet_where_the_site_does():
    sheet = Sheet((0.0, 0.0), 0.0, px_per_m=3.0, width=620.0, height=400.0)
    bar = scale_bar(sheet, ground_scale=1.0, ground_unit="foot")
    assert bar.label == "100 ft"
    assert bar.px == pytest.approx(91.44)
