"""Old bunker against new, by hand."""

from dataclasses import replace

import pytest

from fieldapp.model import Ellipse, Placement
from fieldapp.outline.laid_out import lay_out_bunker
from fieldapp.play.carry import Shot
from fieldapp.play.old_and_new import asked_of, shift_between
from tests.play.holes import bunker, one_bunker, rectangle, site_of, table

OVER = Shot(0.0, ((180.0, 184.0), (188.0, 195.0)), 8.0)
PAST = Shot(0.0, (), 8.0, 3.0)


def played_by(shot):
    """A row of a bunker ahead, with this shot at its middle."""
    (row,) = table(one_bunker(rectangle(-4, 4, 180, 195)))
    return replace(row, to_middle=shot)


def shift(old, new, scale=1.0, **hole):
    bunkers = [bunker(Ellipse(10, 6), Placement("plate", *at), name) for name, at in (("o", old), ("n", new))]
    site = site_of(bunkers, **hole)
    laid_out = [lay_out_bunker(site, one, scale) for one in bunkers]
    found = shift_between(site, *laid_out, site.tees[0], scale)
    return found.along_m, found.across_m


def test_a_shift_is_new_less_old_further_on_and_to_the_right_positive():
    assert shift((178.0, 12.0), (224.0, 15.0)) == pytest.approx((46.0, 3.0), abs=1e-9)
    assert shift((224.0, 15.0), (178.0, -12.0)) == pytest.approx((-46.0, -27.0), abs=1e-9)


def test_a_shift_is_measured_round_the_turns():
    hole = {"turning_points": ((0.0, 180.0),), "green": (240.0, 180.0)}
    assert shift((150.0, -10.0), (220.0, -10.0), **hole) == pytest.approx((70.0, 0.0), abs=1e-9)


def test_a_shift_is_in_ground_metres():
    assert shift((178.0, 12.0), (224.0, 15.0), scale=1.0005) == pytest.approx((46.0, 3.0), abs=1e-9)


@pytest.mark.parametrize(
    ("carry_m", "asked"),
    [
        pytest.param(170.0, "short", id="before the sand"),
        pytest.param(180.0, "asked", id="at its very edge"),
        pytest.param(186.0, "asked", id="on the grass between two arms"),
        pytest.param(194.9, "asked", id="into the last of it"),
        pytest.param(195.0, "over", id="just over"),
    ],
)
def test_what_a_bunker_asks_of_a_carry(carry_m, asked):
    assert asked_of(carry_m, played_by(OVER)) == asked


def test_a_landing_allowance_must_be_carried_too():
    assert asked_of(199.0, played_by(OVER), allowance_m=5.0) == "asked"
    assert asked_of(200.0, played_by(OVER), allowance_m=5.0) == "over"


def test_a_shot_that_misses_the_sand_asks_nothing():
    assert asked_of(190.0, played_by(PAST)) is None
    assert asked_of(190.0, played_by(None)) is None


def test_a_bunker_behind_a_forward_tee_asks_nothing_of_anybody():
    site = one_bunker(rectangle(-5, 5, 100, 112), tees=((0.0, 0.0), (0.0, 160.0)))
    back, forward = table(site)
    assert forward.along_m == pytest.approx(-54.0, abs=1e-9)
    assert (back.is_behind, forward.is_behind) == (False, True)
    assert (asked_of(105.0, back), asked_of(55.0, forward)) == ("asked", None)


def test_a_bunker_beside_the_plate_with_sand_ahead_is_not_behind():
    site = one_bunker(rectangle(5, 9, 100, 112), tees=((0.0, 111.0), (0.0, 112.0)))
    assert [row.is_behind for row in table(site)] == [False, True]
