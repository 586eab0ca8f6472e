"""Which piece of ground is shown, from 200 m down to 1 m."""

import pytest

pytestmark = pytest.mark.browser

SIZE = {"width": 360, "height": 270}


def frame(ask, worker, target, before=None, up=0.0):
    given = [before, worker, target, up, SIZE]
    return ask("framing", "(m, given) => m.frameGround(...given)", given)


def worker(x, y, radius=0.02):
    return {"x": x, "y": y, "radius95M": radius}


@pytest.mark.parametrize(("apart", "most"), [(0.05, 1), (1.0, 4), (12.0, 32), (70.0, 200)])
def test_the_nearest_picture_that_holds_both_is_shown(ask, apart, most):
    shown = frame(ask, worker(0, 0), {"x": 0, "y": apart})
    assert shown["spanM"] <= most
    assert apart * shown["scale"] <= SIZE["height"] - 2 * 56


def test_the_picture_never_comes_nearer_than_1_m(ask):
    assert frame(ask, worker(0, 0), {"x": 0, "y": 0})["spanM"] == 1


def test_the_whole_circle_of_a_poor_receiver_is_shown(ask):
    assert frame(ask, worker(0, 0, 6.5), {"x": 0, "y": 1})["spanM"] >= 13


def test_the_picture_does_not_flicker_at_the_edge_of_a_size(ask):
    spans = []
    before = None
    for step in range(40):
        before = frame(ask, worker(0, 0), {"x": 0, "y": 6.0 + (0.1 if step % 2 else -0.1)}, before)
        spans.append(before["spanM"])
    assert len(set(spans[1:])) == 1


def test_walking_up_to_the_target_only_ever_comes_nearer(ask):
    spans = []
    before = None
    for apart in [60 * 0.9**step for step in range(60)]:
        before = frame(ask, worker(0, 0), {"x": apart, "y": 0}, before)
        spans.append(before["spanM"])
    assert spans == sorted(spans, reverse=True)
    assert spans[-1] == 1


def test_a_turned_view_fits_both_in_its_own_directions(ask):
    shown = frame(ask, worker(0, 0), {"x": 0, "y": 10}, up=90)
    assert 10 * shown["scale"] <= SIZE["width"] - 2 * 56


@pytest.mark.parametrize(("unit", "words"), [("metre", "2 m"), ("foot", "5 ft")])
def test_the_scale_bar_is_a_round_length_of_the_ground_unit(ask, unit, words):
    bar = ask("framing", "(m, unit) => m.scaleBar(34, unit)", unit)
    assert bar["words"] == words
    assert 30 < bar["px"] <= 84
