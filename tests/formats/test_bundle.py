"""The bundle of a hole."""

import json
from datetime import UTC, date, datetime

import numpy as np
import pytest

from fieldapp.errors import NotFoundError
from fieldapp.formats.bundle import build_bundle, describe_hole
from fieldapp.geodesy.grid import build_grid
from fieldapp.model import (
    Bunker,
    DrawnShape,
    Ellipse,
    FittedGrid,
    GnssPosition,
    Hole,
    LocalGrid,
    Outline,
    Peg,
    Placement,
    ProjectedGrid,
    Site,
    SpotLevel,
    Tee,
)
from fieldapp.model.site import ControlPoint
from fieldapp.outline.offset import along_and_off

DAY = date(2026, 11, 25)
MOMENT = datetime(2026, 11, 25, 7, 0, tzinfo=UTC)


def small_site(**changes) -> Site:
    parts = {
        "id": "small",
        "name": "Small",
        "grid": LocalGrid(53.6, -5.0, 12.0),
        "tees": (Tee("1-back", 1, "Back", 0.0, 0.0),),
        "holes": (Hole(1, "First", 0.0, 350.0),),
        "bunkers": (
            Bunker(
                "1-left",
                1,
                "1 left",
                "A",
                (Outline("sand-edge", "sand edge", Ellipse(12.0, 7.0)),),
                place=Placement("1-back", 200.0, -15.0, 35.0),
            ),
        ),
    }
    return Site(**{**parts, **changes})


def bundle_of(site: Site) -> dict:
    return build_bundle(describe_hole(site, build_grid(site.grid, site.pegs), 1, DAY), [], MOMENT)


def test_a_bundle_is_plain_json_that_says_what_it_is():
    bundle = json.loads(json.dumps(bundle_of(small_site()), allow_nan=False))
    assert (bundle["format"], bundle["version"], bundle["made_at"]) == (
        "fieldapp-bundle",
        1,
        "2026-11-25T07:00:00Z",
    )


def test_the_content_id_changes_with_the_outline_and_not_with_the_hour():
    grid = build_grid(LocalGrid(53.6, -5.0, 12.0))
    later = datetime(2026, 11, 25, 19, 0, tzinfo=UTC)
    one = build_bundle(describe_hole(small_site(), grid, 1, DAY), [], MOMENT)
    same = build_bundle(describe_hole(small_site(), grid, 1, DAY), [], later)
    triangle = DrawnShape(
        (ControlPoint(0, 0), ControlPoint(9, 0), ControlPoint(0, 9)), curve="straight", closed=True
    )
    changed = small_site(
        bunkers=(Bunker("1-left", 1, "1 left", "A", (Outline("sand-edge", "sand edge", triangle),)),)
    )
    other = build_bundle(describe_hole(changed, grid, 1, DAY), [], MOMENT)
    assert one["content_id"] == same["content_id"] != other["content_id"]


def test_a_placed_bunker_without_a_plan_is_planned_where_it_is_placed():
    bunker = bundle_of(small_site())["bunkers"][0]
    assert bunker["plan"]["along_m"] == 200.0
    assert bunker["plan"]["offset_m"] == -15.0
    scale = bundle_of(small_site())["frame"]["ground_scale"]
    assert np.array(bunker["middle"]) * scale == pytest.approx([-15.0, 200.0], abs=1e-6)
    assert bunker["play_bearing_deg"] == pytest.approx(0.0)


def test_every_paint_point_lies_on_the_drawn_trace():
    outline = bundle_of(small_site())["bunkers"][0]["outlines"][0]
    trace = np.array(outline["trace"])
    assert np.allclose(trace[0], trace[-1])
    for _, x, y, _ in outline["points"]:
        assert np.min(np.hypot(*(trace - [x, y]).T)) < 0.2
    assert [point[0] for point in outline["points"]] == list(range(1, len(outline["points"]) + 1))


def test_the_trace_begins_at_point_1_so_chainages_along_it_are_those_of_the_points():
    outline = bundle_of(small_site())["bunkers"][0]["outlines"][0]
    for _, x, y, chainage in outline["points"]:
        along, off = along_and_off(outline["trace"], True, outline["length_m"], (x, y))
        around = (along - chainage + outline["length_m"] / 2) % outline["length_m"] - outline["length_m"] / 2
        assert abs(around) < 0.001
        assert abs(off) < 0.001


def test_the_frame_reaches_over_the_whole_hole():
    site = small_site(holes=(Hole(1, "Long", 0.0, 4000.0),))
    assert bundle_of(site)["frame"]["half_width_m"] >= 2000.0


def test_a_day_outside_the_magnetic_model_gives_no_declination():
    site = small_site()
    assert describe_hole(site, build_grid(site.grid), 1, date(2031, 1, 1))["declination"] is None


def test_a_hole_that_is_not_there_is_refused_by_name():
    site = small_site()
    with pytest.raises(NotFoundError, match="'7'"):
        describe_hole(site, build_grid(site.grid), 7, DAY)


def fitted_site(scale, *pegs):
    near = [
        Peg(name, "control", x, y, None, GnssPosition(53.6 + north / 111_300, -5.0 + east / 66_180))
        for name, x, y, east, north in pegs
    ]
    return small_site(grid=FittedGrid(scale), pegs=tuple(near))


def test_a_bundle_says_how_well_tee_plates_and_the_fit_of_the_grid_are_known():
    tees = (Tee("1-back", 1, "Back", 0.0, 0.0, within_m=0.3), Tee("1-front", 1, "Front", 0.0, 30.0))
    hole = bundle_of(small_site(tees=tees))["hole"]
    assert [tee["within_m"] for tee in hole["tees"]] == [0.3, None]
    assert (hole["grid_within_m"], hole["grid_unknown"]) == (None, "origin")


@pytest.mark.parametrize(("gnss_crs", "known"), [("EPSG:4326", (None, "shift")), ("EPSG:4619", (0.0, None))])
def test_a_bundle_says_whether_positions_may_lie_aside_of_a_projected_grid(gnss_crs, known):
    hole = bundle_of(small_site(grid=ProjectedGrid("EPSG:3006", gnss_crs=gnss_crs)))["hole"]
    assert (hole["grid_within_m"], hole["grid_unknown"]) == known


def test_the_fit_is_told_where_it_is_worst_on_the_hole():
    three = (("A", 0, 0, 0, 0), ("B", 0, 110, 0.02, 110), ("C", 60, 0, 60, -0.03))
    site = fitted_site("free", *three)
    grid = build_grid(site.grid, site.pegs)
    hole = bundle_of(site)["hole"]
    within = hole["grid_within_m"]
    assert hole["grid_unknown"] is None
    assert within == pytest.approx(grid.within95_m((0.0, 350.0)))
    assert within > grid.within95_m((0.0, 50.0))


def test_a_fit_without_a_check_says_that_it_is_not_known():
    two = fitted_site("free", ("A", 0, 0, 0, 0), ("B", 0, 110, 0, 110))
    hole = bundle_of(two)["hole"]
    assert (hole["grid_within_m"], hole["grid_unknown"]) == (None, "fit")


def spots(*rows):
    return tuple(SpotLevel(float(x), float(y), float(level)) for x, y, level in rows)


def first_outline(**changes):
    return bundle_of(small_site(**changes))["bunkers"][0]["outlines"][0]


def test_without_levels_the_ground_counts_as_level():
    outline = first_outline()
    assert outline["levels_m"] is None
    assert outline["levels_basis"] == "not known: taken as level ground"


def test_levels_of_paint_points_are_those_of_the_ground_between_spot_levels():
    outline = first_outline(
        spot_levels=spots((-35, 180, 2), (5, 180, 2), (-15, 199, 2.95), (-35, 218, 3.9), (5, 218, 3.9))
    )
    assert outline["levels_m"] == pytest.approx(
        [2 + 0.05 * (y - 180) for _, _, y, _ in outline["points"]], abs=1e-3
    )
    assert outline["levels_basis"] == "the ground between spot levels"


def test_where_spot_levels_end_a_level_is_unknown():
    outline = first_outline(spot_levels=spots((-35, 180, 2), (5, 180, 2), (-15, 200, 3)))
    known = [level is not None for level in outline["levels_m"]]
    assert 0 < sum(known) < len(known) == len(outline["points"])
    assert outline["levels_basis"].endswith("elsewhere not known: taken as level ground")
