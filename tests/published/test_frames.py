"""Reference frames that move, and grids that need a file, against published values and PROJ's own report."""

import numpy as np
import pytest

from fieldapp.errors import GridError, GridFileMissing
from fieldapp.geodesy.distance import geodesic
from fieldapp.geodesy.grid import build_grid
from fieldapp.geodesy.transform import transform
from fieldapp.model import ProjectedGrid

GDA2020_331 = "GDA2020 Technical Manual v1.2, section 3.3.1"
EUREF = "EUREF Technical Note 1 (Altamimi, 2024), Appendix B, examples 1 and 2"
DAWSON = "Dawson and Woods, Journal of Applied Geodesy 4 (2010), Appendix A"
ALIC = (-4052052.6588, 4212835.9938, -2545104.6946)
CODES = {
    "ITRF2020": "EPSG:9988",
    "ITRF2014": "EPSG:7789",
    "ITRF2000": "EPSG:4919",
    "ETRF2020": "EPSG:10569",
    "ETRF2014": "EPSG:8401",
    "ETRF2000": "EPSG:7930",
}
EUREF_POINT = {
    2010.0: {
        "ITRF2020": (4027893.6750, 307045.9069, 4919475.1721),
        "ETRF2020": (4027893.9585, 307045.5550, 4919474.9619),
        "ITRF2014": (4027893.6719, 307045.9064, 4919475.1704),
        "ETRF2014": (4027893.9620, 307045.5480, 4919474.9553),
        "ITRF2000": (4027893.6812, 307045.9082, 4919475.1547),
        "ETRF2000": (4027894.0053, 307045.5939, 4919474.9083),
    },
    2020.0: {
        "ITRF2020": (4027893.5389, 307046.0755, 4919475.2745),
        "ETRF2020": (4027893.9574, 307045.5561, 4919474.9643),
        "ITRF2014": (4027893.5358, 307046.0740, 4919475.2748),
        "ETRF2014": (4027893.9639, 307045.5450, 4919474.9573),
        "ITRF2000": (4027893.5505, 307046.0772, 4919475.2456),
        "ETRF2000": (4027894.0033, 307045.5889, 4919474.9047),
    },
}
LEGS = [
    ("ITRF2020", "ETRF2020"),
    ("ITRF2020", "ITRF2014"),
    ("ITRF2020", "ITRF2000"),
    ("ITRF2014", "ETRF2014"),
    ("ITRF2000", "ETRF2000"),
    ("ITRF2020", "ETRF2000"),
]


def test_plate_motion_takes_itrf2014_to_gda2020():
    wanted = (-4052052.7373, 4212835.9835, -2545104.5867)
    assert transform("EPSG:7789", "EPSG:7842", ALIC, 2018.0) == pytest.approx(wanted, abs=7.5e-5), GDA2020_331


def test_plate_motion_takes_gda2020_on_to_atrf2014_at_2025():
    gda2020 = transform("EPSG:7789", "EPSG:7842", ALIC, 2018.0)
    wanted = (-4052052.9336, 4212835.9577, -2545104.3168)
    assert transform("EPSG:7842", "EPSG:9307", gda2020, 2025.0) == pytest.approx(wanted, abs=7.5e-5), (
        GDA2020_331
    )


def test_plate_motion_takes_gda2020_to_itrf2014_in_degrees():
    """PROJ test/gie/GDA.gie and epsg_no_grid.gie."""
    lon, lat, height = transform("EPSG:7843", "EPSG:7912", (151.2077, -33.8623, 0.0), 2026.0)
    assert (lat, lon) == pytest.approx((-33.862297056, 151.207701181), abs=1e-9)
    assert height == pytest.approx(-0.00101, abs=7.5e-5)


@pytest.mark.parametrize("epoch", EUREF_POINT)
@pytest.mark.parametrize(("source", "target"), LEGS)
def test_itrf_and_etrf_are_as_published(epoch, source, target):
    point = EUREF_POINT[epoch]
    found = transform(CODES[source], CODES[target], point[source], epoch)
    assert found == pytest.approx(point[target], abs=1e-4), EUREF


@pytest.mark.parametrize("year", ["2020", "2014", "2000"])
def test_a_european_point_moves_decimetres_in_itrf_and_millimetres_in_etrf(year):
    """EUREF: the reason that a frame fixed to the continent is set out by."""
    moved = {
        frame: np.linalg.norm(
            np.subtract(EUREF_POINT[2020.0][frame + year], EUREF_POINT[2010.0][frame + year])
        )
        for frame in ("ITRF", "ETRF")
    }
    assert moved["ITRF"] == pytest.approx(0.24, abs=0.01)
    assert moved["ETRF"] < 0.007


def test_fifteen_parameters_take_itrf2005_to_gda94():
    lonlat = (133 + 53 / 60 + 7.86712 / 3600, -(23 + 40 / 60 + 12.41482 / 3600), 603.2562)
    wanted = (-4052051.7614, 4212836.1945, -2545106.0146)
    assert transform("EPSG:7910", "EPSG:4938", lonlat, 2010.4559) == pytest.approx(wanted, abs=1e-4), DAWSON


OSGB_POINT = (1.716073973, 52.658007833)
OSTN15_XY = (651409.804, 313177.450)
"""Ordnance Survey, Transformations and OSGM15 User Guide, Annex A."""


def test_the_british_grid_without_its_file_is_refused_with_the_size_of_the_error():
    with pytest.raises(GridFileMissing, match=r"OSTN15.*about 3 m") as refusal:
        build_grid(ProjectedGrid("EPSG:27700", gnss_crs="EPSG:4258"))
    assert refusal.value.error_m == 3.0


def test_the_british_grid_without_its_file_is_flagged_where_its_error_is_accepted():
    grid = build_grid(ProjectedGrid("EPSG:27700", gnss_crs="EPSG:4258", accept_error_m=3.0))
    assert any("OSTN15" in note and "3 m" in note for note in grid.notes)


def test_what_proj_would_silently_do_for_the_british_grid_is_metres_wrong():
    """Fallback value seen in PROJ 9.5 without grid files; against OSTN15_XY it is 3.45 m off."""
    fallback = transform("EPSG:4258", "EPSG:27700", OSGB_POINT)
    assert fallback == pytest.approx((651411.222, 313180.597), abs=0.001)
    assert np.hypot(*(fallback - OSTN15_XY)) == pytest.approx(3.45, abs=0.005)


@pytest.mark.parametrize(
    ("gnss_crs", "crs", "error_m", "file"),
    [
        ("EPSG:4326", "EPSG:27700", 2.0, "uk_os_OSTN15_NTv2_OSGBtoETRS.tif"),
        ("EPSG:4258", "EPSG:27700", 3.0, "uk_os_OSTN15_NTv2_OSGBtoETRS.tif"),
        ("EPSG:4258", "EPSG:28992", 0.25, "nl_nsgi_rdtrans2018.tif"),
        ("EPSG:4258", "EPSG:31370", 0.2, "be_ign_bd72lb72_etrs89lb08.tif"),
        ("EPSG:4258", "EPSG:21781", 1.5, "ch_swisstopo_CHENyx06_ETRS.tif"),
        ("EPSG:4167", "EPSG:27200", 4.0, "nz_linz_nzgd2kgrid0005.tif"),
        ("EPSG:4612", "EPSG:30169", 9.0, "tky2jgd.gsb"),
        ("EPSG:6318", "EPSG:2263", None, "us_noaa_nadcon5"),
        ("EPSG:4326", "EPSG:2263", 4.0, "us_noaa_nyhpgn.tif"),
    ],
)
def test_a_national_grid_without_its_file_is_refused_by_name_and_error(gnss_crs, crs, error_m, file):
    """Report of PROJ 9.5.1 with EPSG v11.022, network off, no grid files."""
    with pytest.raises(GridFileMissing, match=file) as refusal:
        build_grid(ProjectedGrid(crs, gnss_crs=gnss_crs))
    assert refusal.value.error_m == error_m


@pytest.mark.parametrize(
    ("gnss_crs", "crs", "accuracy_m"),
    [
        ("EPSG:4326", "EPSG:2157", 1.0),
        ("EPSG:4326", "EPSG:25832", 1.0),
        ("EPSG:4326", "EPSG:3006", 1.0),
        ("EPSG:4326", "EPSG:2056", 1.0),
        ("EPSG:4258", "EPSG:2056", 0.1),
        ("EPSG:4326", "EPSG:2193", 1.0),
        ("EPSG:4326", "EPSG:7856", 3.0),
        ("EPSG:4326", "EPSG:6539", 2.0),
        ("EPSG:4326", "EPSG:2053", 1.0),
        ("EPSG:4258", "EPSG:25830", 0.0),
        ("EPSG:4326", "EPSG:32630", 0.0),
    ],
)
def test_a_national_grid_that_needs_no_file_has_its_published_accuracy(gnss_crs, crs, accuracy_m):
    """Report of PROJ 9.5.1 with EPSG v11.022."""
    assert build_grid(ProjectedGrid(crs, gnss_crs=gnss_crs)).accuracy_m == accuracy_m


def test_an_accuracy_of_nought_does_not_hide_the_two_metres_of_wgs_84():
    """EPSG: the datum ensemble of EPSG:4326 has accuracy 2.0 m."""
    assert "about 2.0 m" in build_grid(ProjectedGrid("EPSG:32630")).notes[0]


@pytest.mark.parametrize(
    ("source", "target", "given"),
    [
        ("EPSG:4979", "EPSG:9518", (-1.5, 52.0, 100.0)),
        ("EPSG:4326+5773", "EPSG:4979", (-1.5, 52.0, 100.0)),
        ("EPSG:6318+5703", "EPSG:6319", (-84.0, 40.0, 100.0)),
        ("EPSG:7843", "EPSG:7844+5711", (151.0, -33.0, 100.0)),
        ("EPSG:4979", "EPSG:27700+5701", (-1.5, 52.0, 100.0)),
    ],
)
def test_a_height_that_proj_would_leave_unchanged_is_refused(source, target, given):
    """Seen in PROJ 9.5.1 without geoid files: 100.0 in, 100.0 out, no exception."""
    with pytest.raises(GridError, match="knows no transformation"):
        transform(source, target, given)


@pytest.mark.parametrize(
    ("source", "target", "lonlat", "shift_m", "azimuth_deg"),
    [
        ("EPSG:9000", "EPSG:7844", (151.2077, -33.8623), 0.396, 198.5),
        ("EPSG:9057", "EPSG:7844", (151.2077, -33.8623), 0.396, 198.5),
        ("EPSG:9755", "EPSG:7844", (151.2077, -33.8623), 0.396, 198.5),
        ("EPSG:9990", "EPSG:6318", (-84.0, 40.0), 1.276, 135.7),
        ("EPSG:7912", "EPSG:7931", (-1.5, 52.0), 0.8965, 220.0),
        ("EPSG:9989", "EPSG:4937", (-1.5, 52.0), 0.863, 225.0),
    ],
)
def test_a_dated_frame_is_moved_to_the_epoch(source, target, lonlat, shift_m, azimuth_deg):
    """At 2026.9, seen in PROJ 9.5.1 with EPSG v11.022 (operations 8049, 8970, 10586, 10573, 8366, 8407)."""
    moved = geodesic(lonlat, transform(source, target, lonlat, 2026.9))
    assert moved.distance_m == pytest.approx(shift_m, abs=0.0015)
    assert min(abs(moved.azimuth_deg - azimuth_deg), abs((moved.azimuth_deg + 180) % 360 - azimuth_deg)) < 0.6


@pytest.mark.parametrize(
    ("source", "target"),
    [("EPSG:4326", "EPSG:7844"), ("EPSG:10606", "EPSG:7844"), ("EPSG:4326", "EPSG:6318")],
)
def test_some_pairs_ignore_the_epoch_without_a_word(source, target):
    """Seen in PROJ 9.5.1: the ensemble EPSG:4326 always, WGS 84 (G2296) to GDA2020 by way of it."""
    lonlat = (151.2077, -33.8623) if target == "EPSG:7844" else (-84.0, 40.0)
    assert transform(source, target, lonlat, 2026.9) == pytest.approx(lonlat, abs=1e-12)


@pytest.mark.parametrize(
    ("gnss_crs", "crs"),
    [
        ("EPSG:4326", "EPSG:7856"),
        ("EPSG:4979", "EPSG:7856"),
        ("EPSG:10606", "EPSG:7856"),
        ("EPSG:4326", "EPSG:6539"),
        ("EPSG:4258", "EPSG:25830"),
    ],
)
def test_an_epoch_that_would_be_ignored_is_refused(gnss_crs, crs):
    with pytest.raises(GridError, match="leave the epoch out"):
        build_grid(ProjectedGrid(crs, gnss_crs=gnss_crs, epoch=2026.9))
