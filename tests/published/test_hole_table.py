"""The yardage table of a hole against the yard, the measuring rules and distances on the earth."""

from dataclasses import replace

import numpy as np
import pytest

from fieldapp.formats.yardage_table import YardageTable, yardage_json
from fieldapp.geodesy.distance import geodesic, ground_distance_m
from fieldapp.geodesy.grid import build_grid
from fieldapp.model import Ellipse, Placement, Plan, ProjectedGrid
from fieldapp.outline.laid_out import hole_scale
from fieldapp.play.line_of_play import hole_length, line_of_play
from tests.play.holes import bunker, one_bunker, site_of, table

YARD = "Refinement of Values for the Yard and the Pound, Federal Register, 1 July 1959: 0.9144 m exactly"
ALONG_THE_LINE = (
    "CONGU Unified Handicapping System, Appendix A, Golf Course Measurement: in the horizontal plane along "
    "the designed line of play; a dogleg is straight from tee to pivot to the centre of the green"
)
GDA_MANUAL = "GDA Technical Manual v2.3 p. 46: Flinders Peak in zone 55, point scale 1.00023056"
FLINDERS_XY, FLINDERS_SCALE = (273741.297, 5796489.777), 1.00023056
ROUND = Ellipse(10.0, 10.0)


@pytest.mark.parametrize(("yards", "metres"), [(150, 137.16), (195, 178.308), (245, 224.028), (250, 228.6)])
def test_a_bunker_reached_at_so_many_yards_is_so_many_metres_out(yards, metres):
    site = one_bunker(ROUND, Placement("plate", metres + 5.0, 0.0))
    rows = table(site)
    (row,) = yardage_json(YardageTable(site, site.holes[0], rows))["rows"]
    assert rows[0].on_line.reach_m == pytest.approx(metres, abs=1e-9), YARD
    assert (row["on_line"]["reach_yd"], row["to_middle"]["reach_yd"]) == (yards, yards), YARD


def test_a_planned_yard_is_the_same_yard():
    site = site_of([bunker(ROUND, Placement("plate", 233.6, 0.0), plan=Plan("plate", reach_m=250 * 0.9144))])
    assert table(site)[0].compared[0].difference_m == pytest.approx(0.0, abs=1e-9), YARD


def test_along_the_line_of_play_a_dogleg_is_the_sum_of_its_legs():
    site = one_bunker(
        ROUND, Placement("plate", 330.0, 0.0), turning_points=((0.0, 210.0),), green=(120.0, 210.0)
    )
    (row,) = table(site)
    length_m = hole_length(line_of_play(site, site.tees[0]), 1.0)
    assert (row.along_m, length_m) == (pytest.approx(330.0, abs=1e-9), 330), ALONG_THE_LINE
    assert row.straight_m == pytest.approx(np.hypot(120, 210), abs=1e-9)


def test_levels_change_no_distance():
    level, steep = (
        table(site_of([bunker(ROUND, Placement("plate", 200.0, 0.0), level_m=30.0)], levels_m=(tee_m,)))[0]
        for tee_m in (30.0, 5.0)
    )
    assert (steep.along_m, steep.to_middle) == (level.along_m, level.to_middle), ALONG_THE_LINE
    assert steep.slope_more_m > 1.0 > level.slope_more_m


def on_earth(definition, tee_xy, bearing_deg, out_m=300.0):
    """Grid, site and row of a round bunker 300 m of grid out from a tee, on a hole of 400 m of grid."""
    forward = np.array([np.sin(np.deg2rad(bearing_deg)), np.cos(np.deg2rad(bearing_deg))])
    green, centre = tee_xy + 400.0 * forward, tee_xy + out_m * forward
    grid = build_grid(definition)
    site = replace(site_of([], tees=(tuple(tee_xy),), green=tuple(green)), grid=definition)
    scale = hole_scale(grid, site.holes[0])
    placed = bunker(ROUND, Placement("plate", out_m * scale, 0.0))
    (row,) = table(replace(site, bunkers=(placed,)), scale=scale)
    return grid, centre, row


@pytest.mark.parametrize("bearing_deg", [0.0, 77.0, 160.0, 251.0])
def test_the_excess_of_the_grid_is_that_of_its_published_scale(bearing_deg):
    # The hole is worked with the scale at its green. 226 km from the central meridian it changes by 5.6e-9 a metre,
    # over the 400 m by 2.2e-6: 0.7 mm in 300 m.
    definition = ProjectedGrid("EPSG:28355", gnss_crs="EPSG:4283")
    _, _, row = on_earth(definition, np.array(FLINDERS_XY), bearing_deg)
    assert row.straight_m == pytest.approx(300.0 / FLINDERS_SCALE, abs=0.001), GDA_MANUAL
    assert row.grid_more_m == pytest.approx(300.0 - 300.0 / FLINDERS_SCALE, abs=0.001), GDA_MANUAL


@pytest.mark.parametrize("bearing_deg", [0.0, 77.0, 160.0, 251.0])
@pytest.mark.parametrize("height_m", [0.0, 640.0])
def test_a_straight_distance_is_the_geodesic_raised_to_the_ground(bearing_deg, height_m):
    # The geodesic (Karney 2013) is good to 15 nm, its raising by the mean radius here to 0.35 % of 30 mm. What is left
    # is the grid's scale, taken at the green: 157 km from the meridian it changes by 3.9e-9 a metre, 0.5 mm in 300 m.
    grid, centre, row = on_earth(
        ProjectedGrid("EPSG:3006", height_m), np.array([657_000.0, 6_766_500.0]), bearing_deg
    )
    tee, middle = grid.to_gnss(np.array([(657_000.0, 6_766_500.0), centre]))
    along_ellipsoid_m = float(geodesic(tee, middle).distance_m)
    assert row.straight_m == pytest.approx(
        float(ground_distance_m(along_ellipsoid_m, height_m, tee[1])), abs=0.001
    )
    assert row.along_m == pytest.approx(row.straight_m, abs=1e-6)
