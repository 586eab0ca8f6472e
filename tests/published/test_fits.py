"""Similarity fits and datum shifts against published values; the source stands beside each number."""

import numpy as np
import pytest

from fieldapp.geodesy.fit import Similarity, fit_similarity
from fieldapp.geodesy.transform import transform

EPSG_5166 = "IOGP 373-7-2, EPSG method 9621, operation 5166; PROJ test/cli/test_cs2cs_various.yaml"
GHILANI = "Ghilani, Adjustment Computations, two-dimensional conformal example (18.1, number from memory)"
SEWRPC = "SEWRPC Technical Report 34, p. 29; PROJ test/gie/more_builtins.gie"
GDA2020_311 = "GDA2020 Technical Manual v1.2, section 3.1.1"
CONTROL = [(121.622, -128.066), (141.228, 187.718), (175.802, 135.728)]
PLACES = [(1049422.40, 51089.20), (1049413.95, 49659.30), (1049244.95, 49884.95)]


def epsg_5166(m: float) -> Similarity:
    theta = np.radians(1.56504 / 3600)
    return Similarity(m * np.cos(theta), -m * np.sin(theta), -129.549, -208.185)


def test_a_similarity_gives_the_published_coordinates():
    moved = epsg_5166(1.0000015504).apply((300000.0, 4500000.0))
    assert moved == pytest.approx((299905.060, 4499796.515), abs=0.0005), EPSG_5166


def test_proj_s_own_operation_gives_the_same():
    moved = transform("EPSG:23031", "EPSG:25831", (300000.0, 4500000.0))
    assert moved == pytest.approx((299905.060, 4499796.515), abs=0.0005), EPSG_5166


def test_a_scale_rounded_to_1_00000155_is_1_8_mm_low():
    """Computed from EPSG_5166 with the scale as often printed."""
    low = epsg_5166(1.0000015504).apply((300000.0, 4500000.0)) - epsg_5166(1.00000155).apply(
        (300000.0, 4500000.0)
    )
    assert low[1] == pytest.approx(0.0018, abs=5e-5)


def test_a_fit_to_three_points_has_the_published_parameters():
    fitted = fit_similarity(CONTROL, PLACES).similarity
    assert (fitted.a, fitted.b) == pytest.approx((-4.51249, -0.25371), abs=5e-6), GHILANI
    assert (fitted.tx, fitted.ty) == pytest.approx((1050003.715, 50542.131), abs=5e-4), GHILANI


def test_a_fit_to_three_points_has_the_residuals_error_turn_and_scale_of_the_example():
    """Data of GHILANI; these figures recomputed from it."""
    fit = fit_similarity(CONTROL, PLACES)
    wanted = [(0.004, -0.029), (0.101, -0.077), (-0.105, 0.106)]
    assert fit.residuals == pytest.approx(np.array(wanted), abs=0.0006)
    assert fit.degrees_of_freedom == 2
    assert fit.standard_error_m == pytest.approx(0.1398, abs=5e-5)
    assert fit.similarity.rotation_deg == pytest.approx(183.21806, abs=5e-6)
    assert fit.similarity.scale == pytest.approx(4.519621, abs=5e-7)


@pytest.mark.parametrize(
    ("point", "place"),
    [
        ((174.148, -120.262), (1049187.361, 51040.629)),
        ((513.520, -192.130), (1047637.713, 51278.829)),
        ((754.444, -67.706), (1046582.113, 50656.241)),
        ((972.788, 120.994), (1045644.713, 49749.336)),
    ],
)
def test_further_points_of_the_fit_come_out_as_published(point, place):
    assert fit_similarity(CONTROL, PLACES).similarity.apply(point) == pytest.approx(place, abs=0.001), GHILANI


def test_a_similarity_from_feet_to_metres_gives_the_published_point():
    """SEWRPC point 203, as PROJ's two-dimensional helmert with theta -1.244048 arc-seconds."""
    theta, scale = np.radians(-1.244048 / 3600), 0.304794780637
    shift = Similarity(scale * np.cos(theta), -scale * np.sin(theta), -9597.3572, 0.6112)
    assert shift.apply((2546506.957, 542256.609)) == pytest.approx((766563.675, 165282.277), abs=0.001), (
        SEWRPC
    )


@pytest.mark.parametrize(
    ("source_crs", "target_crs", "given", "wanted"),
    [
        (
            "EPSG:4938",
            "EPSG:7842",
            (-4052051.7643, 4212836.2017, -2545106.0245),
            (-4052052.7379, 4212835.9897, -2545104.5898),
        ),
        ("EPSG:28353", "EPSG:7853", (386352.3979, 7381850.7689), (386353.2343, 7381852.2986)),
    ],
)
def test_gda94_goes_to_gda2020_as_published(source_crs, target_crs, given, wanted):
    assert transform(source_crs, target_crs, given) == pytest.approx(wanted, abs=7.5e-5), GDA2020_311
