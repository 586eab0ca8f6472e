"""Sections built from a site: levels of spots, tees and outlines on one line."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.model import Bunker, ControlPoint, DrawnShape, Hole, LocalGrid, Outline, Site, SpotLevel, Tee
from fieldapp.outline.laid_out import lay_out_bunker
from fieldapp.play.tee_sight import tee_sights

TEE = Tee("t", 1, "Back tee", 0.0, 0.0, level_m=10.0)


def box(left, near, right, far):
    corners = [(left, near), (right, near), (right, far), (left, far)]
    return DrawnShape(tuple(ControlPoint(float(x), float(y)) for x, y in corners), "straight")


def across(y, left=-8, right=8):
    return DrawnShape((ControlPoint(left, y), ControlPoint(right, y)), "straight", closed=False)


SAND = Outline("sand", "sand edge", box(-4, 100, 6, 110), level_m=9.0)


def bunker(*outlines, **others):
    return Bunker(
        "b", 1, "the pit", "A", outlines or (SAND,), floor_level_m=others.pop("floor", 8.0), **others
    )


def levels(near, far, level=9.0):
    """Spot levels every 20 m about the line of play from one distance to another."""
    return [
        SpotLevel(float(x), float(y), level(y) if callable(level) else level)
        for y in np.arange(near, far + 1, 20)
        for x in (-12, 8)
    ]


def site_of(*bunkers, spots=(), tee=TEE):
    hole = Hole(1, "", 0.0, 200.0)
    return Site("s", "S", LocalGrid(53.6, -5.0), (tee,), (hole,), (), bunkers, tuple(spots))


def seen_from(site, eyes=(1.65,), show_m=0.30, scale=1.0):
    laid_out = [lay_out_bunker(site, each, scale) for each in site.bunkers]
    return tee_sights(site, laid_out, laid_out[0], eyes, show_m, scale)


def section_of(site, scale=1.0):
    return seen_from(site, scale=scale)[0].section


# the line from the plate to the middle of the sand runs 1 m right at 105 m
SLANT = math.hypot(1, 105) / 105


def test_a_pit_in_known_flat_ground_is_seen_as_by_hand():
    (found,) = seen_from(site_of(bunker(), spots=levels(0, 100)))
    assert (found.section.front_m, found.section.far_m) == pytest.approx((100 * SLANT, 110 * SLANT))
    assert found.section.unknown == ()
    # eye 11.65, edge 9.0: 2.65 / 100 a metre; curvature 0.1 mm
    assert found.sight.face_m == pytest.approx(0.265, abs=2e-4)
    assert found.lowering.middle.lower_m == pytest.approx(2.95 * 100 / 110 - 2.65, abs=2e-4)
    assert found.section.lacks == ()
    assert (
        "The far face stands upright at the far edge: no foot of a face crosses the line."
        in found.section.assumed
    )


def test_each_tee_and_each_eye_has_its_answer():
    other = Tee("u", 1, "Forward tee", 5.0, 40.0, level_m=9.5)
    site = site_of(bunker())
    found = seen_from(replace(site, tees=(TEE, other)), eyes=(1.65, 1.20))
    assert [(each.tee.id, each.eye_m) for each in found] == [("t", 1.65), ("t", 1.2), ("u", 1.65), ("u", 1.2)]
    assert found[0].sight.face_m > found[1].sight.face_m
    assert found[0].sight.eye_level_m == pytest.approx(11.65)


def test_ground_without_levels_is_unknown_from_plate_to_edge():
    (found,) = seen_from(site_of(bunker()))
    (gap,) = found.section.unknown
    assert (gap.start, gap.end) == ((0.0, 10.0), (pytest.approx(100 * SLANT), 9.0))
    (condition,) = found.sight.conditions
    assert condition.room_from_m == pytest.approx(1.65)
    assert condition.room_to_m == pytest.approx(0.0, abs=1e-9)
    assert found.sight.answer == "partly"


def test_levels_that_do_not_reach_all_the_way_leave_a_gap_on_either_side():
    (gap, other) = section_of(site_of(bunker(), spots=levels(30, 70))).unknown
    assert (gap.start[0], gap.end[0]) == (0.0, pytest.approx(30 * SLANT))
    assert (other.start[0], other.end[0]) == pytest.approx((70 * SLANT, 100 * SLANT))
    assert (gap.end[1], other.start[1]) == pytest.approx((9.0, 9.0))


def test_without_a_level_the_plate_lies_on_the_ground_and_without_ground_nothing_can_be_told():
    bare = replace(TEE, level_m=None)
    (known,) = seen_from(site_of(bunker(), spots=levels(-20, 100, 9.4), tee=bare))
    assert known.section.plate_level_m == pytest.approx(9.4)
    assert "The plate of Back tee lies at the level of the ground there." in known.section.assumed
    (unknown,) = seen_from(site_of(bunker(), tee=bare))
    assert (unknown.sight.answer, unknown.lowering) == ("cannot tell", None)
    assert unknown.section.lacks[0].startswith(
        "The level of the plate of Back tee is not given and no ground"
    )


def test_an_edge_without_a_level_lies_on_the_ground_or_above_it_or_cannot_be_told():
    plain = replace(SAND, level_m=None)
    around = levels(80, 120, 9.2)
    on_ground = section_of(site_of(bunker(plain), spots=around))
    assert on_ground.pockets[0].front[1] == pytest.approx(9.2)
    assert "The front edge has no level of its own and lies on the ground there." in on_ground.assumed
    above = section_of(site_of(bunker(replace(plain, above_ground_m=0.3)), spots=around))
    assert above.pockets[0].far[1] == pytest.approx(9.5)
    (nothing,) = seen_from(site_of(bunker(plain)))
    assert (nothing.sight.answer, nothing.section.pockets) == ("cannot tell", ())
    assert nothing.section.front_m == pytest.approx(100 * SLANT)
    assert "The level of the front edge is not known" in nothing.section.lacks[0]


def test_without_a_floor_the_sand_runs_straight_and_the_lowering_cannot_be_told():
    (found,) = seen_from(site_of(bunker(floor=None)))
    assert (found.sight.answer, found.lowering) == ("seen", None)
    assert found.section.lacks == ("The level of the bunker's floor is not given.",)
    assert "The sand runs straight from the front edge to the far edge." in found.section.assumed


def test_the_far_face_rises_from_its_foot():
    foot = Outline("foot", "face foot", across(107.0), level_m=8.2)
    (pocket,) = section_of(site_of(bunker(SAND, foot))).pockets
    assert pocket.foot == (pytest.approx(107 * SLANT), 8.2)
    on_floor = section_of(site_of(bunker(SAND, replace(foot, level_m=None))))
    assert on_floor.pockets[0].foot[1] == 8.0
    assert "The foot of the face lies at the level of the floor." in on_floor.assumed
    too_high = section_of(site_of(bunker(SAND, replace(foot, level_m=9.1))))
    assert (
        "The foot of the face lies higher than the sand edge behind it; one level is wrong." in too_high.lacks
    )


@pytest.mark.parametrize(("scallop_m", "level"), [(98.0, 8.6), (101.0, 8.6), (94.0, 9.0), (106.0, 9.0)])
def test_a_scallop_within_five_metres_of_the_front_edge_lowers_it(scallop_m, level):
    scallop = Outline("bite", "scallop", across(scallop_m), level_m=8.6)
    section = section_of(site_of(bunker(SAND, scallop), spots=levels(0, 120)))
    assert section.pockets[0].front[1] == level
    assert any("level of the scallop" in words for words in section.assumed) == (level == 8.6)


def test_a_scallop_that_stands_higher_than_the_edge_changes_nothing():
    scallop = Outline("bite", "scallop", across(98.0), level_m=9.3)
    assert section_of(site_of(bunker(SAND, scallop))).pockets[0].front[1] == 9.0


MOUND = Outline("foot", "mound foot", box(-6, 60, 8, 72), level_m=9.0)
TOP = Outline("top", "mound top", across(66.0), above_ground_m=1.0)


def test_a_mound_runs_straight_from_foot_to_top_over_the_ground_as_it_was():
    section = section_of(site_of(bunker(SAND, MOUND, TOP), spots=levels(0, 100)))
    assert section.unknown == ()
    places = {round(distance / SLANT, 6): level for distance, level in section.ground[0].places}
    assert (places[60.0], places[66.0], places[72.0]) == pytest.approx((9.0, 10.0, 9.0))
    assert not [distance for distance in places if 60 < distance < 72 and distance != 66]


def test_a_mound_hides_sand_and_so_does_one_of_another_bunker():
    other = Bunker("c", 1, "other", "A", (MOUND, replace(TOP, above_ground_m=None, level_m=10.04)))
    flat, own, others = (
        seen_from(site_of(*bunkers, spots=levels(0, 100)))[0].sight
        for bunkers in ([bunker()], [bunker(SAND, MOUND, TOP)], [bunker(), other])
    )
    assert flat.face_m > own.face_m > others.face_m
    assert own.hidden_by == pytest.approx((66 * SLANT, 10.0))


def test_a_mound_without_a_top_is_unknown_ground_whatever_the_spot_levels_say():
    section = section_of(site_of(bunker(SAND, MOUND), spots=levels(0, 100)))
    (gap,) = section.unknown
    assert (gap.start[0], gap.end[0], gap.why) == (
        pytest.approx(60 * SLANT), pytest.approx(72 * SLANT), "height of the mound not given",
    )  # fmt: skip
    assert section.lacks == ("The height of the mound of the pit is not given where the line crosses it.",)


def test_outlines_of_one_bunker_join_over_unknown_ground_and_a_swale_alone_is_one_place():
    joined = section_of(site_of(bunker(SAND, MOUND, replace(TOP, above_ground_m=None, level_m=9.8))))
    assert [(gap.start[0], gap.end[0]) for gap in joined.unknown] == [(0.0, pytest.approx(60 * SLANT))]
    swale = Outline("low", "swale", across(40.0), level_m=8.5)
    alone = section_of(site_of(bunker(SAND, swale)))
    assert [run.start[0] for run in alone.ground] == pytest.approx([0, 40 * SLANT, 100 * SLANT])


def test_ground_above_the_edge_is_shaped_to_it_over_its_last_two_metres_and_that_is_told():
    section = section_of(site_of(bunker(), spots=levels(0, 120, 9.5)))
    assert section.ground[0].places[-2] == pytest.approx((100 * SLANT - 2, 9.5))
    assert section.ground[0].places[-1] == pytest.approx((100 * SLANT, 9.0))
    words = (
        "The ground, which lies above the front edge there, is shaped straight to the edge over its last 2 m."
    )
    assert words in section.assumed


def test_another_bunkers_sand_in_the_way_is_crossed_from_edge_to_edge():
    other = Bunker("c", 1, "other", "A", (Outline("sand", "sand edge", box(-5, 50, 7, 58), level_m=9.3),))
    places = section_of(site_of(bunker(), other, spots=levels(0, 100))).ground[0].places
    at = np.interp(np.array([50.001, 54, 57.999]) * SLANT, places[:, 0], places[:, 1])
    assert at == pytest.approx([9.3, 9.3, 9.3], abs=1e-3)


def test_a_tee_in_the_sand_and_a_line_beside_it_are_told():
    within = replace(TEE, y=105.0)
    (found,) = seen_from(site_of(bunker(), tee=within))
    assert found.sight.answer == "cannot tell"
    assert "lies in the bunker's sand" in found.section.lacks[0]
    horseshoe = DrawnShape(
        tuple(
            ControlPoint(x, y)
            for x, y in [(-9, 90), (-9, 110), (9, 110), (9, 90), (8, 90), (8, 109), (-8, 109), (-8, 90)]
        ),
        "straight",
    )
    behind = replace(TEE, y=200.0, x=60.0)
    (beside,) = seen_from(site_of(bunker(replace(SAND, shape=across(105.0))), tee=TEE))
    assert beside.section.lacks == ("The line from this tee does not cross the bunker's sand.",)
    (twice,) = seen_from(site_of(bunker(replace(SAND, shape=horseshoe)), tee=behind))
    assert twice.section.pockets


def test_lengths_of_a_grid_that_is_not_true_become_ground_metres():
    def half(thing):
        return replace(thing, shape=DrawnShape(
            tuple(ControlPoint(at.x / 2, at.y / 2) for at in thing.shape.points), "straight"
        ))  # fmt: skip

    spots = [SpotLevel(spot.x / 2, spot.y / 2, spot.level_m) for spot in levels(0, 100)]
    (true,) = seen_from(site_of(bunker(), spots=levels(0, 100)))
    (found,) = seen_from(site_of(bunker(half(SAND)), spots=spots), scale=2.0)
    assert found.section.front_m == pytest.approx(true.section.front_m)
    assert found.sight.angle_arcmin == pytest.approx(true.sight.angle_arcmin)
    assert found.lowering.width_m == pytest.approx(true.lowering.width_m)


@pytest.mark.parametrize(
    ("floor", "scallop_level", "lacks"),
    [
        (9.5, 9.0, ("The floor lies above the front and the far edge; one level is wrong.",)),
        (8.9, 8.6, ("The floor lies above the front edge; one level is wrong.",)),
        (9.0, 9.0, ()),
    ],
)
def test_a_floor_above_an_edge_of_its_own_is_told(floor, scallop_level, lacks):
    scallop = Outline("dip", "scallop", across(98.0), level_m=scallop_level)
    assert section_of(site_of(bunker(SAND, scallop, floor=floor), spots=levels(0, 100))).lacks == lacks


def turned(site, turn_deg, east, north):
    turn = math.radians(turn_deg)

    def at(x, y):
        return (
            x * math.cos(turn) - y * math.sin(turn) + east,
            x * math.sin(turn) + y * math.cos(turn) + north,
        )

    def shape(drawn):
        return replace(drawn, points=tuple(ControlPoint(*at(point.x, point.y)) for point in drawn.points))

    hole, tee = site.holes[0], site.tees[0]
    green, plate = at(hole.green_x, hole.green_y), at(tee.x, tee.y)
    return replace(
        site,
        holes=(replace(hole, green_x=green[0], green_y=green[1]),),
        tees=(replace(tee, x=plate[0], y=plate[1]),),
        bunkers=tuple(
            replace(each, outlines=tuple(replace(line, shape=shape(line.shape)) for line in each.outlines))
            for each in site.bunkers
        ),
        spot_levels=tuple(SpotLevel(*at(spot.x, spot.y), spot.level_m) for spot in site.spot_levels),
    )


@settings(max_examples=20, deadline=None)
@given(st.floats(0, 360), st.floats(-7e6, 7e6), st.floats(-7e6, 7e6))
def test_turning_and_shifting_the_site_changes_nothing(turn_deg, east, north):
    site = site_of(
        bunker(SAND, MOUND, TOP), spots=[*levels(0, 60, lambda y: 9 + 0.004 * y), SpotLevel(1.0, 45.0, 9.2)]
    )
    (here,), (there,) = seen_from(site), seen_from(turned(site, turn_deg, east, north))
    assert there.sight.answer == here.sight.answer
    assert there.sight.face_m == pytest.approx(here.sight.face_m, abs=1e-5)
    assert there.sight.angle_arcmin == pytest.approx(here.sight.angle_arcmin, abs=1e-3)
    assert there.lowering.middle.lower_m == pytest.approx(here.lowering.middle.lower_m, abs=1e-5)
    assert there.lowering.width_m == pytest.approx(here.lowering.width_m, abs=1e-4)
    assert len(there.section.unknown) == len(here.section.unknown)
