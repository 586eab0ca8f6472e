"""Fitting a grid to pegs."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.errors import FitError
from fieldapp.geodesy.fit import FitReport, Similarity, fit_similarity
from fieldapp.geodesy.grid import build_grid
from fieldapp.model import FittedGrid, GnssPosition, LocalGrid, Peg, ProjectedGrid

SQUARE = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (10.0, 90.0)])


@given(
    turn=st.floats(-3.1, 3.1),
    scale=st.floats(0.5, 2.0),
    tx=st.floats(-1e5, 1e5),
    ty=st.floats(-1e5, 1e5),
)
def test_a_free_fit_finds_the_similarity_that_made_the_points(turn, scale, tx, ty):
    made = Similarity(scale * np.cos(turn), scale * np.sin(turn), tx, ty)
    fit = fit_similarity(SQUARE, made.apply(SQUARE))
    assert (fit.similarity.a, fit.similarity.b) == pytest.approx((made.a, made.b), abs=1e-10)
    assert fit.rms_m < 1e-8


@given(turn=st.floats(-3.1, 3.1), noise=st.lists(st.floats(-0.05, 0.05), min_size=8, max_size=8))
def test_no_small_turn_or_shift_improves_a_fixed_fit(turn, noise):
    made = Similarity(np.cos(turn), np.sin(turn), 40.0, -7.0)
    target = made.apply(SQUARE) + np.reshape(noise, (4, 2))
    fit = fit_similarity(SQUARE, target, "fixed")
    assert fit.similarity.scale == pytest.approx(1.0, abs=1e-12)
    best = np.sum(fit.residuals**2)
    angle = np.arctan2(fit.similarity.b, fit.similarity.a)
    for change in (-1e-5, 1e-5):
        turned = Similarity(np.cos(angle + change), np.sin(angle + change), 0.0, 0.0).apply(SQUARE)
        left = turned - target
        assert np.sum((left - left.mean(axis=0)) ** 2) >= best - 1e-12


def test_inverting_undoes_applying():
    similarity = Similarity(0.8, -0.7, 300.0, 20.0)
    assert similarity.invert(similarity.apply(SQUARE)) == pytest.approx(SQUARE, abs=1e-10)


@pytest.mark.parametrize(("scale", "left_over"), [("fixed", 5), ("free", 4)])
def test_degrees_of_freedom_are_equations_less_unknowns(scale, left_over):
    assert fit_similarity(SQUARE, SQUARE, scale).degrees_of_freedom == left_over


def test_two_points_with_free_scale_leave_no_standard_error():
    assert fit_similarity(SQUARE[:2], SQUARE[:2]).standard_error_m is None


@pytest.mark.parametrize(
    ("source", "target"),
    [
        (SQUARE[:1], SQUARE[:1]),
        (SQUARE, SQUARE[:3]),
        (np.zeros((3, 2)), SQUARE[:3]),
        (SQUARE, SQUARE * np.nan),
    ],
)
def test_points_that_carry_no_fit_are_refused(source, target):
    with pytest.raises(FitError):
        fit_similarity(source, target)


def test_the_report_names_the_pegs_with_their_residuals():
    pegs = [
        Peg("A", "control", 0.0, 0.0, None, GnssPosition(53.6, -5.0)),
        Peg("B", "control", 0.0, 111.32, None, GnssPosition(53.601, -5.0)),
        Peg("C", "control", 66.21, 0.0, None, GnssPosition(53.6, -4.999)),
        Peg("D", "reference", 66.21, 111.32),
    ]
    report = build_grid(FittedGrid(), pegs).fit
    assert report.peg_ids == ("A", "B", "C")
    assert report.degrees_of_freedom == 3
    assert report.rms_m == pytest.approx(np.sqrt(np.mean(np.square(report.residual_lengths_m))))
    assert 0 < max(report.residual_lengths_m) < 0.05


def test_two_pegs_carry_a_grid_that_says_how_little_checks_it():
    pegs = [
        Peg("A", "control", 0.0, 0.0, None, GnssPosition(53.6, -5.0)),
        Peg("B", "control", 0.0, 111.3, None, GnssPosition(53.601, -5.0)),
    ]
    assert "third peg" in build_grid(FittedGrid(), pegs).notes[0]
    assert "nothing checks this grid" in build_grid(FittedGrid("free"), pegs).notes[0]


def test_pegs_on_both_sides_of_the_date_line_carry_a_grid():
    pegs = [
        Peg("A", "control", 0.0, 0.0, None, GnssPosition(-17.0, 179.9995)),
        Peg("B", "control", 106.5, 0.0, None, GnssPosition(-17.0, -179.9995)),
    ]
    grid = build_grid(FittedGrid(), pegs)
    assert grid.to_course((-179.9995, -17.0)) == pytest.approx((106.5, 0.0), abs=0.1)


PEGS = np.array([(0.0, 0.0), (180.0, 20.0), (160.0, 210.0), (-20.0, 190.0), (90.0, 120.0), (40.0, 60.0)])
NOISE_M = 0.03


def fitted_many(course, scale, count, seed):
    """Fits of pegs whose positions err by NOISE_M on each axis: [(similarity, report)]."""
    rng = np.random.default_rng(seed)
    middle = course.mean(axis=0)
    for _ in range(count):
        fit = fit_similarity(course + rng.normal(0, NOISE_M, course.shape), course, scale)
        yield (
            fit.similarity,
            FitReport(
                peg_ids=tuple(map(str, range(len(course)))),
                residuals_m=(),
                rms_m=fit.rms_m,
                degrees_of_freedom=fit.degrees_of_freedom,
                scale=1.0,
                rotation_deg=0.0,
                standard_error_m=fit.standard_error_m,
                middle_xy=(float(middle[0]), float(middle[1])),
                spread_m2=float(np.sum((course - middle) ** 2)),
            ),
        )


def held_share(course, scale, place, seed):
    held = [
        np.hypot(*(similarity.apply(place) - place)) <= report.within95_m(place)
        for similarity, report in fitted_many(course, scale, 4000, seed)
    ]
    return float(np.mean(held))


@pytest.mark.parametrize("count", [3, 4, 6])
@pytest.mark.parametrize("place", [(75.0, 100.0), (420.0, 380.0)], ids=["amid the pegs", "far beyond them"])
def test_the_fits_radius_holds_95_in_100_of_a_free_fit(count, place):
    share = held_share(PEGS[:count], "free", np.array(place), 100 * count)
    print(f"\n  free, {count} pegs, {place}: {100 * share:.1f} %")
    assert 0.94 <= share <= 0.96


@pytest.mark.parametrize("count", [2, 3, 6])
def test_a_fixed_fits_radius_never_claims_too_much(count):
    """It allows for a scale as well, so it is a little too large where the scale is truly 1."""
    share = held_share(PEGS[:count], "fixed", np.array([420.0, 380.0]), 17 * count)
    print(f"\n  fixed, {count} pegs: {100 * share:.1f} %")
    assert 0.945 <= share <= 0.99


def test_a_fit_that_nothing_checks_gives_no_radius():
    pegs = [
        Peg("A", "control", 0.0, 0.0, None, GnssPosition(53.6, -5.0)),
        Peg("B", "control", 0.0, 111.3, None, GnssPosition(53.601, -5.0)),
    ]
    unchecked, checked = build_grid(FittedGrid("free"), pegs), build_grid(FittedGrid(), pegs)
    assert (unchecked.within95_m((0.0, 50.0)), unchecked.unknown) == (None, "fit")
    assert checked.within95_m((0.0, 50.0)) > 0.01
    assert checked.unknown is None


def test_an_origin_that_was_given_by_hand_is_not_taken_as_exact():
    grid = build_grid(LocalGrid(53.6, -5.0))
    assert (grid.within95_m((0.0, 50.0)), grid.unknown) == (None, "origin")


@pytest.mark.parametrize(
    ("gnss_crs", "unknown", "within_m"),
    [("EPSG:4326", "shift", None), ("EPSG:4258", "shift", None), ("EPSG:4619", None, 0.0)],
    ids=["a frame of any receiver", "a frame that stands for several", "the frame of the corrections"],
)
def test_a_projected_grid_is_known_only_in_the_frame_of_the_corrections(gnss_crs, unknown, within_m):
    grid = build_grid(ProjectedGrid("EPSG:3006", gnss_crs=gnss_crs))
    assert (grid.unknown, grid.within95_m((657000.0, 6766000.0))) == (unknown, within_m)
    assert (unknown is None) is (grid.notes == ())
