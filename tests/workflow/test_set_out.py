"""Setting out: bundles, paint points, yardages."""

from datetime import UTC, datetime

import numpy as np
import pytest

from fieldapp.errors import NotFoundError, PositionError
from fieldapp.geodesy.distance import geodesic
from fieldapp.workflow.set_out import bundle_of_hole, points_of_site, yardage_at
from tests.field_records import accept_records

NOW = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)


def test_a_bundle_carries_the_marks_that_stand(store, batch, mark):
    accept_records(store, "small-links", batch(mark(3)), NOW)
    bundle = bundle_of_hole(store, "small-links", 1, NOW)
    assert [item["number"] for item in bundle["marks"]] == [3]


def test_the_content_id_of_a_bundle_changes_with_its_content_and_not_with_the_hour(store, batch, mark):
    first = bundle_of_hole(store, "small-links", 1, NOW)
    assert bundle_of_hole(store, "small-links", 1, NOW.replace(hour=13))["content_id"] == first["content_id"]
    accept_records(store, "small-links", batch(mark(1)), NOW)
    assert bundle_of_hole(store, "small-links", 1, NOW)["content_id"] != first["content_id"]


def test_the_points_of_a_site_are_those_of_its_bundle(store, standing):
    bundle = bundle_of_hole(store, "small-links", 1, NOW)
    bundled = [
        (bunker["id"], number, x, y)
        for bunker in bundle["bunkers"]
        for outline in bunker["outlines"]
        for number, x, y, _ in outline["points"]
    ]
    points = list(points_of_site(standing.site, standing.grid))
    assert [(point.bunker, point.number) for point in points] == [
        (bunker, number) for bunker, number, _, _ in bundled
    ]
    assert np.allclose(
        [(point.x, point.y) for point in points], [(x, y) for _, _, x, y in bundled], atol=1e-5
    )


def test_every_point_comes_with_its_position(standing):
    for point in points_of_site(standing.site, standing.grid, "egg"):
        lon, lat = standing.grid.to_gnss(np.array([point.x, point.y]))
        assert (point.lon_deg, point.lat_deg) == pytest.approx((lon, lat), abs=1e-12)


def test_points_of_a_bunker_that_is_not_there_are_not_found(standing):
    with pytest.raises(NotFoundError, match="square"):
        points_of_site(standing.site, standing.grid, "gone")


def test_a_yardage_is_straight_along_and_off_the_line_of_play(standing):
    lon, lat = standing.grid.to_gnss(np.array([1010.0, 2350.0]))
    found = yardage_at(standing.site, standing.grid, "white", lat, lon)
    assert found.straight_m == pytest.approx(np.hypot(10.0, 350.0), abs=1e-3)
    assert found.along_m == pytest.approx(np.hypot(10.0, 350.0), abs=1e-3)
    assert found.offset_m == pytest.approx(0.0, abs=1e-3)


def test_the_straight_yardage_is_the_geodesic_raised_to_the_ground(standing):
    found = yardage_at(standing.site, standing.grid, "white", 57.203, -9.399)
    at_sea = geodesic(np.array([-9.4, 57.2]), np.array([-9.399, 57.203])).distance_m
    assert found.straight_m == pytest.approx(at_sea * (1 + 62.0 / 6_371_000), abs=2e-4)


@pytest.mark.parametrize(
    ("lat", "lon", "words"),
    [
        (-9.4, 57.2, "swapped"),
        (40.0, -9.4, "km from tee 'white'"),
        (91.0, 0.0, "91"),
        (float("nan"), 0.0, "nan"),
        (57.2, 400.0, "400"),
    ],
)
def test_a_place_that_cannot_be_right_is_refused_in_words(standing, lat, lon, words):
    with pytest.raises(PositionError, match=words):
        yardage_at(standing.site, standing.grid, "white", lat, lon)


def test_a_tee_that_is_not_there_is_not_found(standing):
    with pytest.raises(NotFoundError, match="white"):
        yardage_at(standing.site, standing.grid, "blue", 57.2, -9.4)
