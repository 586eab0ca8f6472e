"""What holds for every hole: turned, shifted, mirrored and scaled as a whole it measures the same."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from fieldapp.model import DrawnShape, Ellipse, Kidney, Placement
from fieldapp.play.carry import aim_fan
from fieldapp.play.hole_yardages import AimLine
from fieldapp.play.tee_view import ON_LINE_M
from tests.play.holes import bunker, drawn, site_of, table

SAME_M = 1e-6
"""Figures must not move by more. Distances abeam come from chords that turn with the curve."""
CHORDS_M = 3e-4
"""Distances abeam are those of chords within 0.1 mm of the curve in grid metres, up to 3 m long on the ground."""
STATIONS_M = 0.3
"""The room is looked for at stations that may fall elsewhere."""
DEEPEST_WAIST = 0.45
"""A waist half the width deep would touch the shot through the middle, which then has one stretch or two."""
ANY_AXIS_DEG = 0.01
"""The direction of the smallest rectangle is looked for in steps of 0.003 degrees."""
ACROSS = ((-45.0, 20.0), (-40.0, 340.0), (35.0, 360.0), (42.0, 15.0))

metres = st.floats(-40.0, 40.0).filter(lambda value: abs(abs(value) - ON_LINE_M) > SAME_M)
shapes = st.one_of(
    st.builds(lambda long, share: Ellipse(long, long * share), st.floats(4, 30), st.floats(0.3, 0.85)),
    st.builds(
        lambda long, share, waist: Kidney(long, long * share, long * share * waist),
        st.floats(8, 30), st.floats(0.3, 0.8), st.floats(0.1, DEEPEST_WAIST),
    ),
    st.builds(
        lambda radii, curve: drawn(
            *(
                (radius * np.cos(turn), radius * np.sin(turn) * 0.6)
                for radius, turn in zip(radii, np.arange(len(radii)) * 2 * np.pi / len(radii), strict=True)
            ),
            curve=curve,
        ),
        st.lists(st.floats(6.0, 11.0), min_size=5, max_size=9),
        st.sampled_from(["smooth", "straight"]),
    ),
)  # fmt: skip
places = st.builds(Placement, st.just("plate"), st.floats(60, 300), metres, st.floats(-180, 180))
turns = st.lists(st.tuples(metres, st.floats(180, 220)), max_size=1)
holes = st.builds(
    lambda placed, turn, fairway: site_of(
        [bunker(shape, place, f"b{index}") for index, (shape, place) in enumerate(placed)],
        tees=((0.0, 0.0), (3.0, 25.0)),
        turning_points=turn,
        fairway=fairway,
    ),
    st.lists(st.tuples(shapes, places), min_size=1, max_size=2),
    turns,
    st.sampled_from([(), ACROSS]),
)
AIM = AimLine(200.0, 8.0)
FEW = settings(max_examples=40, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate))
"""A table takes some hundredths of a second, too long to look for the smallest site that fails."""


def moved(site, place_of):
    """The same site with its tees, turning points, green and fairway put elsewhere; bunkers are placed by play."""
    (hole,) = site.holes
    tees = tuple(replace(tee, **dict(zip("xy", place_of(tee.x, tee.y), strict=True))) for tee in site.tees)
    green = dict(zip(("green_x", "green_y"), place_of(hole.green_x, hole.green_y), strict=True))
    lines = {
        name: tuple(place_of(*xy) for xy in getattr(hole, name)) for name in ("turning_points", "fairway")
    }
    return replace(site, tees=tees, holes=(replace(hole, **green, **lines),))


def mirrored(site):
    """The site as in a mirror: left is right. A kidney is symmetric end to end, so its mirror image is one turned."""
    elsewhere = moved(site, lambda x, y: (-x, y))
    return replace(elsewhere, bunkers=tuple(_mirrored(one) for one in site.bunkers))


def _mirrored(one):
    (outline,), place = one.outlines, one.place
    shape, skew_deg = outline.shape, 180.0 - place.skew_deg
    if isinstance(shape, DrawnShape):
        points = tuple(replace(point, y=-point.y) for point in shape.points)
        shape, skew_deg = replace(shape, points=points), -place.skew_deg
    return replace(
        one,
        outlines=(replace(outline, shape=shape),),
        place=replace(place, offset_m=-place.offset_m, skew_deg=skew_deg),
    )


def abeam(row):
    """From where to where the sand lies along the line of play."""
    return np.array([row.along_near_m, row.along_far_m])


def figures(row, flip=1.0):
    """Every figure of a row in metres; those with a side times `flip`."""
    shots = [shot for shot in (row.on_line, row.to_middle, row.on_aim) if shot is not None]
    ways = [end for shot in shots for stretch in shot.stretches_m for end in stretch]
    passes = [shot.passes_m * flip for shot in shots if shot.passes_m is not None]
    plain = [row.straight_m, row.along_m, *abeam(row), row.nearest_m, row.furthest_m, row.room_m or -1.0]
    return np.array([*plain, row.offset_m * flip, *(shot.width_m for shot in shots), *ways, *passes])


def same(one, other, flip=1.0, scale=1.0, within_m=SAME_M):
    """Assert that two tables measure the same; a figure that one of them lacks is a difference of shape."""
    for row, twin in zip(one, other, strict=True):
        assert figures(twin, flip) == pytest.approx(figures(row) * scale, abs=within_m)
        assert twin.room_to == row.room_to


def test_the_figures_of_a_row_tell_tables_apart():
    near, far = (
        table(site_of([bunker(Ellipse(9, 5), Placement("plate", at, 5.0))]), AIM) for at in (150, 151)
    )
    with pytest.raises(AssertionError):
        same(near, far)


@FEW
@given(holes)
def test_a_carry_is_never_less_than_its_reach(site):
    for row in table(site, AIM):
        for shot in (row.on_line, row.to_middle, row.on_aim):
            ends = [end for stretch in shot.stretches_m for end in stretch]
            assert ends == sorted(ends)
            assert not ends or 0.0 <= shot.reach_m <= shot.carry_m
        assert row.along_near_m <= row.along_far_m


@FEW
@given(holes)
def test_a_fan_holds_the_straight_shot_between_its_edges_and_every_aim_meets_sand(site):
    for row in table(site):
        fan = aim_fan(row.bunker.sand.curve, (row.tee.x, row.tee.y), row.bunker.middle, 1.0, 21)
        assert np.all(fan.carry_m >= fan.reach_m)
        assert np.all(np.diff(fan.off_line_deg) > 0)
        assert fan.off_line_deg[0] < 0 < fan.off_line_deg[-1]


@FEW
@given(holes, st.floats(0, 360), st.floats(-5e5, 5e5), st.floats(-7e6, 7e6))
def test_turning_and_shifting_the_whole_site_changes_nothing(site, turn_deg, east_m, north_m):
    cosine, sine = np.cos(np.deg2rad(turn_deg)), np.sin(np.deg2rad(turn_deg))
    elsewhere = moved(site, lambda x, y: (cosine * x + sine * y + east_m, cosine * y - sine * x + north_m))
    same(table(site, AIM), table(elsewhere, AIM))


@FEW
@given(holes)
def test_in_a_mirror_only_the_sides_change(site):
    one, other = table(site, AIM), table(mirrored(site), AimLine(AIM.at_m, -AIM.offset_m))
    same(one, other, flip=-1.0)
    sides = {"left": "right", "right": "left", None: None}
    for row, twin in zip(one, other, strict=True):
        if not isinstance(row.bunker.bunker.outlines[0].shape, DrawnShape):
            assert twin.slant_deg == pytest.approx(row.slant_deg, abs=ANY_AXIS_DEG)
        if min(abs(row.slant_deg - bound) for bound in (0, 10, 80, 90)) > ANY_AXIS_DEG:
            assert twin.far_end == sides[row.far_end]


@FEW
@given(holes)
def test_in_a_mirror_a_fan_runs_the_other_way(site):
    for row, twin in zip(table(site), table(mirrored(site)), strict=True):
        fan, other = (
            aim_fan(of.bunker.sand.curve, (of.tee.x, of.tee.y), of.bunker.middle, 1.0, 21)
            for of in (row, twin)
        )
        assert other.off_line_deg[::-1] == pytest.approx(-fan.off_line_deg, abs=1e-6)
        assert other.carry_m[::-1][1:-1] == pytest.approx(fan.carry_m[1:-1], abs=1e-5)


@FEW
@given(holes, st.floats(0.5, 3.0))
def test_a_ground_scale_on_a_grid_of_that_scale_changes_nothing_on_the_ground(site, scale):
    """A grid whose metre is `scale` metres long has coordinates that much smaller: lengths on the ground are the same.

    Chords have a sagitta in grid metres, so distances abeam may differ by it.
    """
    smaller = moved(site, lambda x, y: (x / scale, y / scale))
    one, other = table(site, AIM), table(smaller, AIM, scale)
    for row, twin in zip(one, other, strict=True):
        assert abeam(twin) == pytest.approx(abeam(row), abs=CHORDS_M)
        assert (twin.along_m, twin.offset_m) == pytest.approx((row.along_m, row.offset_m), abs=SAME_M)
        assert (twin.nearest_m, twin.furthest_m) == pytest.approx((row.nearest_m, row.furthest_m), abs=SAME_M)
        assert twin.room_to == row.room_to
        assert twin.room_m == pytest.approx(row.room_m, abs=STATIONS_M)
        pairs = zip(
            (row.on_line, row.to_middle, row.on_aim),
            (twin.on_line, twin.to_middle, twin.on_aim),
            strict=True,
        )
        for shot, other_shot in pairs:
            assert other_shot.passes_m == pytest.approx(shot.passes_m, abs=CHORDS_M)
            assert np.array(other_shot.stretches_m) == pytest.approx(np.array(shot.stretches_m), abs=SAME_M)
            assert other_shot.width_m == pytest.approx(shot.width_m, abs=SAME_M)
