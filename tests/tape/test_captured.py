"""Captured points: placed by string, ties and readings, their errors, and the line with its band through them."""

import numpy as np
import pytest

from fieldapp.errors import InputError, OutlineError
from fieldapp.model import CapturedPoint
from fieldapp.tape.captured import PlacedPoint, captured_line, place_point
from fieldapp.tape.ties import Tape, TiePeg

TAPE = Tape(30.0, 0.010)
PEGS = {
    "a": TiePeg("a", (0.0, 0.0), 0.008),
    "b": TiePeg("b", (20.0, 0.0), 0.008),
    "c": TiePeg("c", (10.0, -12.0), 0.008),
}


def point(by, pegs, distances, side="", x=0.0, y=0.0, within_m=None):
    return CapturedPoint(by, tuple(pegs), tuple(distances), side, x, y, within_m)


def placed(*what, scale=1.0, **more):
    return place_point(point(*what, **more), PEGS, TAPE, scale)


def test_an_offset_to_the_right_of_the_string_lies_right_of_it():
    assert placed("line", "ab", (6.0, 2.5)).xy == pytest.approx([6.0, -2.5])


def test_two_ties_meet_on_the_side_that_is_told():
    """3-4-5: from a 15 m, from b 25 m, so the place lies square beyond a."""
    assert placed("ties", "ab", (15.0, 25.0), side="left").xy == pytest.approx([0.0, 15.0])
    assert placed("ties", "ab", (15.0, 25.0), side="right").xy == pytest.approx([0.0, -15.0])


def test_three_ties_are_a_least_squares_and_better_than_two():
    truth = np.array([8.0, 5.0])
    away = [float(np.hypot(*(truth - PEGS[peg].xy))) for peg in "abc"]
    two, three = placed("ties", "ab", away[:2], side="left"), placed("ties", "abc", away, side="left")
    assert three.xy == pytest.approx(truth, abs=1e-6)
    assert np.linalg.det(three.covariance) < np.linalg.det(two.covariance)


def test_a_reading_is_where_the_phone_put_it_in_ground_metres():
    found = placed("reading", "", (), x=4.0, y=6.0, within_m=2.4477, scale=1.001)
    assert found.xy == pytest.approx([4.004, 6.006])
    assert found.covariance == pytest.approx(np.eye(2), rel=1e-4)
    assert placed("reading", "", (), x=4.0, y=6.0).covariance is None


@pytest.mark.parametrize(
    ("what", "words"),
    [
        (("ties", "ab", (8.0, 5.0), "left"), "8.00 m from a and 5.00 m from b are 7.00 m too short together"),
        (("ties", "ab", (30.0, 5.0), "left"), "one lies 5.00 m inside the other"),
        (("ties", "ab", (12.0, 12.0)), "meet on both sides and the side is not told"),
        (("ties", "abc", (15.0, 12.0, 3.0), "left"), "do not meet in one place"),
        (("line", "ax", (3.0, 1.0)), "the place of peg 'x' is not told"),
    ],
)
def test_what_gives_no_place_is_refused_in_words(what, words):
    with pytest.raises(InputError, match=words):
        placed(*what)


def test_the_error_of_a_place_square_to_any_line_holds_95_times_in_100():
    """A thousand places each by string and by ties, tape sigma 10 mm, pegs 8 mm: 93 to 97 % within 1.96 sigma."""
    rng = np.random.default_rng(12)
    for by, square_rad in (("line", 0.589 * TAPE.error_m / 2.0), ("ties", 0.0)):
        inside = 0
        for _ in range(1000):
            truth = rng.uniform([2.0, 3.0], [18.0, 12.0])
            stand = {key: np.array(PEGS[key].xy) + rng.normal(0, 0.008, 2) for key in "ab"}
            told = _told(by, truth, stand, rng, square_rad)
            found = place_point(told, PEGS, TAPE, 1.0)
            normal = rng.normal(size=2)
            normal /= np.hypot(*normal)
            sigma = np.sqrt(normal @ found.covariance @ normal)
            inside += abs((found.xy - truth) @ normal) <= 1.96 * sigma
        print(f"\nplaces by {by}: {inside / 10:.1f} % within the 95 % half width")
        assert 930 <= inside <= 970


def _told(by, truth, stand, rng, square_rad):
    """What the crew reads from pegs as they really stand, with tape and right angle as they are."""
    if by == "ties":
        away = [float(np.hypot(*(truth - stand[key])) + rng.normal(0, TAPE.error_m)) for key in "ab"]
        return point("ties", "ab", away, side="left")
    forward = (stand["b"] - stand["a"]) / np.hypot(*(stand["b"] - stand["a"]))
    way = truth - stand["a"]
    chainage = way @ forward
    offset = way[0] * forward[1] - way[1] * forward[0]
    chainage += offset * rng.normal(0, square_rad)
    return point("line", "ab", (chainage + rng.normal(0, 0.01), offset + rng.normal(0, 0.01)))


def ring(count=12, radius=6.0, sigma=0.02):
    angle = np.linspace(0, 2 * np.pi, count, endpoint=False)
    xy = radius * np.stack([np.sin(angle), np.cos(angle)], axis=1)
    return [PlacedPoint(at, sigma**2 * np.eye(2)) for at in xy]


def test_the_band_runs_along_the_curve_through_the_points():
    line = captured_line(ring(), True, "smooth")
    assert line.at_points95_m == pytest.approx(1.96 * 0.02, rel=1e-3)
    assert line.band95_m == pytest.approx(1.96 * 0.02, rel=1e-3)
    assert len(line.band95_m) == len(line.trace)
    assert line.widest_gap_m == pytest.approx(2 * 6.0 * np.sin(np.pi / 12))
    assert line.bulge_m == pytest.approx(6.0 * (1 - np.cos(np.pi / 12)), abs=0.02)


def test_a_worse_point_widens_the_band_about_it_only():
    points = ring()
    points[3] = PlacedPoint(points[3].xy, 0.2**2 * np.eye(2))
    line = captured_line(points, True, "smooth")
    at = [int(np.argmin(np.hypot(*(line.trace - points[k].xy).T))) for k in (3, 9)]
    assert line.band95_m[at[0]] == pytest.approx(1.96 * 0.2, rel=0.05)
    assert line.band95_m[at[1]] == pytest.approx(1.96 * 0.02, rel=0.05)


def test_a_point_of_unknown_error_leaves_the_band_unknown():
    points = [*ring(), PlacedPoint(np.array([-1.5, 6.2]), None)]
    assert captured_line(points, True, "smooth").band95_m is None


def test_points_in_a_wrong_order_are_refused_in_words():
    points = ring()
    points[2], points[7] = points[7], points[2]
    with pytest.raises(OutlineError, match="in the order in which they lie"):
        captured_line(points, True, "smooth")


@pytest.mark.parametrize("repeat", [(3, 2), (0, 4)])
def test_a_point_that_repeats_another_counts_once(repeat):
    """Point 3 measured twice, or the first one once more at the end of a closed line."""
    square = [
        PlacedPoint(np.array(xy, dtype=float), np.eye(2) * 1e-4) for xy in ((0, 0), (8, 0), (8, 6), (0, 6))
    ]
    twice = [*square[: repeat[1] + 1], square[repeat[0] if repeat[0] == 0 else 2], *square[repeat[1] + 1 :]]
    once, again = captured_line(square, True, "smooth"), captured_line(twice, True, "smooth")
    assert again.curve.length_m == pytest.approx(once.curve.length_m)
    assert np.isfinite(again.trace).all()
    assert np.isfinite(again.band95_m).all()
