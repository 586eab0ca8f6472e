"""What an eye sees of sand along a section: by hand with similar triangles, and what must always hold."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.play.section import Pocket, Run, Section, Unknown, curvature_drop_m
from fieldapp.play.sight import SeenSand, sight

FLAT_EARTH = 1.0


def ground(*places):
    return Run("ground", np.array(places, dtype=float))


def pit(front=(100.0, 0.0), far=(110.0, 0.0), floor=-1.0, foot=None, before=((0.0, 0.0),), **others):
    """A pit in a plain, seen from a plate at level 0."""
    return Section(0.0, (ground(*before, front),), (Pocket(front, far, floor, foot),), **others)


def test_over_a_front_edge_the_upright_face_shows_down_to_the_line_of_sight():
    # the line from 1.65 m over the edge at 100 m falls 1.65 / 100 a metre: 0.165 m below the edge at 110 m
    found = sight(pit(), 1.65, FLAT_EARTH)
    assert found.answer == "partly"
    (part,) = found.seen
    assert (part.kind, *part.start, *part.end) == pytest.approx(
        ("far face", 110, -0.165, 110, 0.0), abs=1e-12
    )
    assert found.face_m == pytest.approx(0.165, abs=1e-12)
    assert found.hidden_by == (100.0, 0.0)
    assert found.conditions == ()
    angle = math.atan(1.815 / 110) - math.atan(1.65 / 110)
    assert found.angle_arcmin == pytest.approx(math.degrees(angle) * 60, rel=1e-12)


def test_a_shallow_pit_shows_its_face_and_some_of_its_floor():
    # the line over the edge meets a floor 0.10 m down 0.10 / 0.0165 = 6.0606 m behind the edge
    found = sight(pit(floor=-0.10), 1.65, FLAT_EARTH)
    floor, face = found.seen
    assert floor.start == pytest.approx((106.0606, -0.10), abs=1e-4)
    assert floor.end == face.start == (110.0, -0.10)
    assert (found.floor_m, found.face_m) == pytest.approx((3.9394, 0.10), abs=1e-4)


def test_a_sloped_face_shows_from_where_the_line_of_sight_meets_it():
    # face from (105, -1) to (110, 0); line z = -1.65 (d - 100) / 100: they meet where 0.2 (d - 110) = -0.0165 (d - 100)
    found = sight(pit(foot=(105.0, -1.0)), 1.65, FLAT_EARTH)
    meets = (22 + 1.65) / 0.2165
    (part,) = found.seen
    assert part.start == pytest.approx((meets, 0.2 * (meets - 110)), abs=1e-9)


def test_ground_before_the_edge_hides_more_than_the_edge_does():
    found = sight(pit(before=((0.0, 0.0), (60.0, 0.0), (80.0, 0.4), (90.0, 0.0))), 1.65, FLAT_EARTH)
    assert found.hidden_by == (80.0, 0.4)
    # 1.65 - 1.25 / 80 * 110 = -0.06875
    assert found.face_m == pytest.approx(0.06875, abs=1e-12)


def test_ground_as_high_as_the_line_to_the_top_of_the_face_hides_all():
    found = sight(pit(before=((0.0, 0.0), (80.0, 0.5))), 1.65, FLAT_EARTH)
    assert (found.answer, found.seen, found.hidden_by) == ("hidden", (), (80.0, 0.5))
    assert (found.angle_arcmin, found.face_m, found.floor_m) == (0.0, 0.0, 0.0)


def test_where_the_floor_is_not_known_the_sand_runs_straight_and_all_of_it_is_seen():
    found = sight(pit(floor=None), 1.65, FLAT_EARTH)
    assert (found.answer, found.hidden_by) == ("seen", None)
    fills = math.degrees(math.atan(1.65 / 100) - math.atan(1.65 / 110)) * 60
    assert found.seen == (SeenSand("floor", (100.0, 0.0), (110.0, 0.0), pytest.approx(fills)),)


def test_a_far_edge_higher_than_the_front_one_shows_more():
    found = sight(pit(far=(110.0, 0.5)), 1.65, FLAT_EARTH)
    assert found.face_m == pytest.approx(0.665, abs=1e-12)


def test_the_second_of_two_pockets_is_seen_over_the_ground_between_them():
    pockets = (Pocket((100.0, 0.0), (104.0, 0.0), -1.0), Pocket((108.0, 0.0), (112.0, 0.0), -1.0))
    found = sight(Section(0.0, (ground((0, 0), (100, 0)),), pockets), 1.65, FLAT_EARTH)
    assert [part.start[0] for part in found.seen] == [104.0, 112.0]
    assert found.seen[1].start[1] == pytest.approx(-1.65 * 4 / 108, abs=1e-12)
    first, second = (found.of(pocket) for pocket in pockets)
    assert (first.face_m, second.face_m) == pytest.approx((1.65 * 4 / 100, 1.65 * 4 / 108), abs=1e-12)
    assert first.angle_arcmin + second.angle_arcmin == pytest.approx(found.angle_arcmin)


@pytest.mark.parametrize("section", [Section(None, (), (Pocket((9, 0), (12, 0), -1),)), Section(2.0)])
def test_without_the_level_of_plate_or_edges_it_cannot_be_told(section):
    found = sight(section, 1.65)
    assert (found.answer, found.eye_level_m, found.seen, found.conditions) == ("cannot tell", None, (), ())


def test_curvature_lowers_the_far_face_more_than_the_front_edge():
    flat, round_earth = (sight(pit(), 1.65, refraction) for refraction in (FLAT_EARTH, 0.13))
    # the edge drops by c(100), so the line over it at 110 m by 1.1 c(100); the face by c(110)
    edge, face = (float(curvature_drop_m(distance)) for distance in (100.0, 110.0))
    assert flat.face_m - round_earth.face_m == pytest.approx(face - 1.1 * edge, abs=1e-9)
    assert 0 < flat.face_m - round_earth.face_m < 0.001


def test_unknown_ground_must_stay_below_the_line_of_sight_to_the_lowest_sand_seen():
    section = Section(
        0.0,
        (ground((0, 0), (20, 0.1)), ground((70, 0.05), (100, 0))),
        (Pocket((100.0, 0.0), (110.0, 0.0), -1.0),),
        (Unknown((20.0, 0.1), (70.0, 0.05)),),
    )
    found = sight(section, 1.65, FLAT_EARTH)
    (condition,) = found.conditions
    # the line over the edge is 1.65 - 0.0165 d: 1.32 at 20 m and 0.495 at 70 m
    assert (condition.line_from_m, condition.line_to_m) == pytest.approx((1.32, 0.495), abs=1e-12)
    assert (condition.room_from_m, condition.room_to_m) == pytest.approx((1.22, 0.445), abs=1e-12)
    assert condition.least_room == pytest.approx((70.0, 0.445))


def test_what_known_ground_hides_holds_whatever_the_unknown_ground_is():
    gap = Unknown((0.0, 0.0), (80.0, 0.5))
    section = Section(0.0, (ground((0, 0)), ground((80, 0.5), (100, 0))), pit().pockets, (gap,))
    found = sight(section, 1.65)
    assert (found.answer, found.conditions) == ("hidden", ())


LEVELS = st.floats(-1.5, 1.5)


@st.composite
def sections(draw):
    distances = sorted(draw(st.lists(st.floats(5, 99), max_size=6, unique=True)))
    before = [(0.0, 0.0), *((distance, draw(LEVELS)) for distance in distances)]
    depth = draw(st.floats(2, 20))
    front, far = (100.0, draw(LEVELS)), (100.0 + depth, draw(LEVELS))
    floor = draw(st.none() | st.floats(-4, -1.6))
    foot = draw(st.none() | st.tuples(st.floats(100.5, 100 + depth), st.floats(-4, -1.6)))
    return pit(front, far, floor, foot, before)


def level_between(section, distance):
    places = section.ground[0].places
    return float(np.interp(distance, places[:, 0], places[:, 1]))


def seen_length(found):
    return sum(math.dist(part.start, part.end) for part in found.seen)


@settings(max_examples=300, deadline=None)
@given(sections(), st.floats(6, 98), st.floats(0.001, 2))
def test_an_obstacle_more_never_shows_more(section, distance, height):
    higher = ground(
        *sorted(
            [*map(tuple, section.ground[0].places), (distance, level_between(section, distance) + height)]
        )
    )
    bare, hidden = sight(section, 1.65), sight(Section(0.0, (higher,), section.pockets), 1.65)
    assert hidden.angle_arcmin <= bare.angle_arcmin + 1e-9
    assert seen_length(hidden) <= seen_length(bare) + 1e-9
    assert hidden.face_m <= bare.face_m + 1e-9
    assert hidden.floor_m <= bare.floor_m + 1e-9


@settings(max_examples=300, deadline=None)
@given(sections(), st.floats(0.2, 3), st.floats(0.001, 2))
def test_a_lower_eye_never_sees_more_of_the_sand(section, eye_m, lower_m):
    # a line over an obstacle at d reaches D behind it at z + (z - eye)(D - d) / d: higher for a lower eye, always.
    # The angle may grow all the same: an eye near the ground sees a face less from above.
    high, low = sight(section, eye_m + lower_m), sight(section, eye_m)
    assert seen_length(low) <= seen_length(high) + 1e-9


@settings(max_examples=300, deadline=None)
@given(sections())
def test_a_place_of_the_sand_is_seen_where_no_place_before_stands_above_the_line_to_it(section):
    """The closed form against trying 400 places of the sand one by one."""
    found = sight(section, 1.65, FLAT_EARTH)
    runs = section.runs()
    dense = [
        (run.kind, np.stack([np.interp(np.linspace(0, len(run.places) - 1, 200), range(len(run.places)), axis)
         for axis in run.places.T], axis=1))
        for run in runs
    ]  # fmt: skip
    before = np.concatenate([run.places for run in runs])
    for kind, places in dense:
        if kind == "ground":
            continue
        for distance, level in places[1:-1]:
            lines = (before[:, 1] - 1.65) / np.maximum(before[:, 0], 1e-9)
            room = (level - 1.65) / distance - lines[
                (before[:, 0] < distance - 1e-9) & (before[:, 0] > 0)
            ].max()
            if abs(room) < 1e-7:
                continue
            is_seen = any(
                part.kind == kind
                and part.start[0] - 1e-9 <= distance <= part.end[0] + 1e-9
                and min(part.start[1], part.end[1]) - 1e-9 <= level <= max(part.start[1], part.end[1]) + 1e-9
                for part in found.seen
            )
            assert is_seen == (room > 0)
