"""How much a front edge must come down, or a far face rise, for sand to show."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.play.lowering import LineNeed, Lowering, line_need, lowering
from fieldapp.play.section import Pocket, Run, Section
from fieldapp.play.sight import sight

EYE_M = 1.65


def pit(front=(100.0, 0.0), far=(110.0, 0.0), floor=-1.0, foot=None, before=((0.0, 0.0),)):
    return Section(0.0, (Run("ground", np.array([*before, front])),), (Pocket(front, far, floor, foot),))


def need(section, show_m, eye_m=EYE_M):
    return line_need(section, 0.0, eye_m, show_m, refraction=1.0)


def test_lowering_and_raising_by_similar_triangles():
    found = need(pit(), 0.30)
    # the line from the eye to 0.30 m below the top of the face, 110 m away, is at 1.65 - 1.95 * 100 / 110 at the edge
    assert found.lower_m == pytest.approx(1.95 * 100 / 110 - 1.65, abs=1e-12)
    # over the edge it is at -0.165 at the face, whose top must stand 0.30 above that
    assert found.raise_m == pytest.approx(0.30 - 0.165, abs=1e-12)
    assert (found.show_m, found.in_the_way) == (0.30, None)


def test_what_shows_already_needs_nothing():
    found = need(pit(), 0.16)
    assert (found.lower_m, found.raise_m) == (0.0, 0.0)
    assert found.over_m < 0


def test_a_face_lower_than_wanted_is_to_show_down_to_its_foot():
    found = need(pit(floor=-0.20), 0.30)
    assert found.show_m == pytest.approx(0.20)
    assert found.lower_m == pytest.approx(1.85 * 100 / 110 - 1.65, abs=1e-12)


def test_the_target_on_a_sloped_face_lies_on_its_slope():
    # 0.30 m below the top of a face that rises 1 m over 4 m: 1.2 m before its top
    found = need(pit(foot=(106.0, -1.0)), 0.30)
    assert found.over_m == pytest.approx(1.95 * 100 / 108.8 - 1.65, abs=1e-12)


def test_ground_before_the_edge_that_stands_in_the_line_to_the_target_is_told():
    found = need(pit(before=((0.0, 0.0), (50.0, 0.9), (70.0, 0.5), (99.0, 0.9))), 0.30)
    # the line to the target is 1.65 - 1.95 d / 110: 0.7636 at 50 m, 0.4091 at 70 m; what lies within the last 2 m
    # before the edge is shaped with it
    place, over = found.in_the_way
    assert (place, over) == ((50.0, 0.9), pytest.approx(0.9 - (1.65 - 1.95 * 50 / 110), abs=1e-12))


@pytest.mark.parametrize("section", [Section(None), Section(1.0), pit(floor=None), pit(floor=0.2)])
def test_without_plate_edges_or_a_face_there_is_no_answer(section):
    assert need(section, 0.30) is None
    assert lowering(section, [pit()], np.zeros(1), EYE_M, 0.30) is None


@st.composite
def bunkers(draw):
    """A pit with a face, upright or sloped, behind a straight run of ground."""
    depth, floor = draw(st.floats(2, 20)), draw(st.floats(-3, -0.5))
    foot = draw(st.none() | st.floats(0.2, 1).map(lambda share: (100 + depth * share, floor)))
    front, far = (100.0, draw(st.floats(-0.3, 0.3))), (100 + depth, draw(st.floats(-0.3, 0.6)))
    return pit(front, far, floor, foot)


@settings(max_examples=200, deadline=None)
@given(bunkers(), st.floats(0.05, 1.0))
def test_an_edge_lowered_by_the_answer_shows_just_what_was_wanted(section, show_m):
    found = line_need(section, 0.0, EYE_M, show_m)
    if found.lower_m == 0:
        assert sight(section, EYE_M).face_m >= found.show_m - 1e-3
        return
    pocket = section.pockets[0]
    front = (100.0, pocket.front[1] - found.lower_m)
    shaped = pit(front, pocket.far, pocket.floor_level_m, pocket.foot)
    assert sight(shaped, EYE_M).face_m == pytest.approx(found.show_m, abs=1e-3)


@settings(max_examples=200, deadline=None)
@given(bunkers(), st.floats(0.05, 1.0), st.floats(-0.2, 0.5))
def test_a_face_raised_by_the_answer_shows_just_what_was_wanted_over_all_that_hides_it(section, show_m, hump):
    places = np.array([(0.0, 0.0), (60.0, hump), section.pockets[0].front])
    section = replace(section, ground=(Run("ground", places),))
    found = line_need(section, 0.0, EYE_M, show_m)
    if found.raise_m == 0:
        assert sight(section, EYE_M).face_m >= found.show_m - 1e-3
        return
    pocket = section.pockets[0]
    far = (pocket.far[0], pocket.far[1] + found.raise_m)
    raised = replace(section, pockets=(replace(pocket, far=far),))
    assert sight(raised, EYE_M).face_m == pytest.approx(found.show_m, abs=1e-3)


@settings(max_examples=100, deadline=None)
@given(bunkers(), st.floats(0.05, 0.5), st.floats(0.01, 0.5))
def test_to_show_more_is_never_less_work(section, show_m, more_m):
    less, more = (line_need(section, 0.0, EYE_M, show) for show in (show_m, show_m + more_m))
    assert more.lower_m >= less.lower_m - 1e-12
    assert more.raise_m >= less.raise_m - 1e-12


def edge(*overs):
    """A front edge at level 2 with lines a metre apart, from two metres left of the middle on."""
    lines = [LineNeed(index - 2.0, (100.0, 2.0), 0.3, over, 0.0, None) for index, over in enumerate(overs)]
    return Lowering(lines[2], tuple(lines))


def test_the_width_is_that_of_the_edge_that_must_come_down():
    assert edge(-0.1, -0.1, 0.3, 0.1, -0.1).width_m == pytest.approx(0.25 + 1 + 1 + 0.5 - 1 + 0.5)
    assert edge(-0.1, -0.1, -0.3, -0.1, -0.1).width_m == 0.0
    assert edge(0.1, 0.1, 0.3, 0.1, 0.1).width_m == pytest.approx(4.0)


def test_a_scallop_that_is_there_already_does_not_count_to_the_width():
    assert edge(0.1, -0.1, 0.0, -0.1, 0.3).width_m == pytest.approx(0.5 + 0.75)


def test_the_table_runs_at_even_steps_from_the_middle_and_has_no_lowering_below_nothing():
    steps = edge(-0.2, 0.0, 0.4, 0.2, 0.1).at_steps(0.5)
    assert [step.across_m for step in steps] == pytest.approx(np.arange(-2, 2.01, 0.5))
    assert [step.lower_m for step in steps] == pytest.approx([0, 0, 0, 0.2, 0.4, 0.3, 0.2, 0.15, 0.1])
    assert {step.level_m for step in steps} == {2.0}
    assert all(step.all_known for step in steps)


def test_between_lines_over_unknown_ground_the_table_knows_not_what_is_in_the_way():
    some = edge(0.1, 0.1, 0.1, 0.1, 0.1)
    lines = tuple(replace(line, all_known=line.across_m < 1) for line in some.lines)
    known = {step.across_m: step.all_known for step in replace(some, lines=lines).at_steps(0.5)}
    assert [at for at, is_known in known.items() if not is_known] == [0.5, 1.0, 1.5, 2.0]


def test_across_a_round_pit_the_lines_lie_square_to_the_middle_one():
    off_deg = np.array([-1.0, 0.0, 1.0])
    found = lowering(pit(), [pit()] * 3, off_deg, EYE_M, 0.30)
    assert [line.across_m for line in found.lines] == pytest.approx([-1.7452, 0.0, 1.7452], abs=1e-3)
    assert found.most_lowered.lower_m == found.middle.lower_m > 0
    assert found.most_raised.raise_m == found.middle.raise_m > 0


def test_the_most_that_is_needed_is_found_where_it_is():
    some = edge(0.1, 0.5, 0.1, 0.2, 0.1)
    lines = tuple(replace(line, raise_m=line.across_m) for line in some.lines)
    assert some.most_lowered.across_m == -1.0
    assert replace(some, lines=lines).most_raised.across_m == 2.0
