"""A picture that names its own system is read in the unit of that system."""

from dataclasses import replace

import pyproj
import pytest

from fieldapp.errors import InputError
from fieldapp.geodesy.grid import build_grid
from fieldapp.model import ProjectedGrid
from fieldapp.workflow.backdrops import WaitingPicture, laid_by_world
from tests.workflow.drawn_site import standing

FEET, GOLD_COAST_FEET = "EPSG:2264", "EPSG:2136"


def picture(world, system):
    return WaitingPicture("one", "small-links", "One", 1000, 1000, 1000, 1000, world, system)


@pytest.fixture
def in_feet():
    site = replace(standing().site, grid=ProjectedGrid(FEET, accept_error_m=60.0), pegs=())
    return replace(standing(), site=site, grid=build_grid(site.grid, ()))


def test_a_system_in_us_survey_feet_is_read_in_them(in_feet):
    factor = pyproj.CRS.from_user_input(FEET).axis_info[0].unit_conversion_factor
    given = picture((1.0, 0.0, 0.0, -1.0, 1200.0 / factor, 2200.0 / factor), FEET)
    world = laid_by_world(in_feet, given, "", None).world
    assert world.six == pytest.approx((factor, 0.0, 0.0, -factor, 1200.0, 2200.0), abs=1e-6)


def test_a_unit_that_is_not_known_is_told_and_not_taken_for_metres(in_feet):
    known = pyproj.CRS.from_user_input(GOLD_COAST_FEET).axis_info[0].unit_conversion_factor
    assert known not in (1.0, 0.3048, 1200 / 3937)
    with pytest.raises(InputError, match="whose unit is not read here"):
        laid_by_world(in_feet, picture((1.0, 0.0, 0.0, -1.0, 1200.0, 2200.0), GOLD_COAST_FEET), "", None)
