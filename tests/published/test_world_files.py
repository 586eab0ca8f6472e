"""Where pixels lie: the order and the meaning of a world file's six lines, and a GeoTIFF read back by rasterio."""

import io

import numpy as np
import pytest
from PIL import Image

from fieldapp.errors import FormatError
from fieldapp.formats.backdrop_image import read_backdrop
from fieldapp.formats.world_file import read_world_file
from fieldapp.geodesy.picture_world import PictureWorld, by_places, through

EXAMPLE = (
    "20.17541308822119\n0.00000000000000\n0.00000000000000\n-20.17541308822119\n"
    "424178.11472601280548\n4313415.90726399607956\n"
)
"""The example of ESRI's help, "FAQ: What is the format of the world file used for georeferencing images?" (article
000002860), from memory; the help gives A, D, B, E, C, F in this order, C and F the map place of the CENTRE of the upper
left pixel. The trap is twofold: D stands before B, and GeoTIFF's own six count from the pixel's corner."""


def test_the_six_lines_stand_in_the_order_a_d_b_e_c_f_and_lead_to_the_centre_of_a_pixel():
    world = read_world_file(EXAMPLE)
    assert (world.a, world.d, world.b, world.e) == (20.17541308822119, 0.0, 0.0, -20.17541308822119)
    assert world.apply((0, 0)).tolist() == [424178.11472601280548, 4313415.90726399607956]
    assert world.apply((10, 0))[0] == pytest.approx(424178.11472601280548 + 201.7541308822119)
    turned = read_world_file("3\n1\n-2\n-4\n100\n200\n")
    assert turned.apply((10, 100)).tolist() == [3 * 10 - 2 * 100 + 100, 1 * 10 - 4 * 100 + 200]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "has 0 lines"),
        ("1\n2\n3\n", "has 3 lines"),
        ("a\n0\n0\n-1\n0\n0\n", "'a' where a number must stand"),
        ("1\n2\n2\n4\n0\n0\n", "in one line or in no place"),
        ("0\n0\n0\n0\n0\n0\n", "in one line or in no place"),
        ("nan\n0\n0\n-1\n0\n0\n", "in one line or in no place"),
        ("1\n0\n0\n-1\n1e300\n0\n", "in one line or in no place"),
    ],
)
def test_six_lines_that_cannot_be_are_refused(text, words):
    with pytest.raises(FormatError, match=words):
        read_world_file(text)


def test_a_comma_for_the_point_and_empty_lines_are_read():
    assert read_world_file("0,5\r\n0\r\n0\r\n-0,5\r\n10\r\n20\r\n\r\n").six == (
        0.5,
        0.0,
        0.0,
        -0.5,
        10.0,
        20.0,
    )


@pytest.mark.parametrize("now", [(400, 300), (100, 75), (37, 29)])
def test_a_picture_sized_down_keeps_its_edges_where_they_are(now):
    came, world = (400, 300), PictureWorld(0.2, 0.05, 0.06, -0.21, 1000.0, 2000.0)
    sized = world.of_sized(came, now)
    for across, down in ((0, 0), (1, 0), (0, 1), (1, 1), (0.3, 0.7)):
        before = world.apply((across * came[0] - 0.5, down * came[1] - 0.5))
        after = sized.apply((across * now[0] - 0.5, down * now[1] - 0.5))
        assert after == pytest.approx(before, abs=1e-9)


def at(corner, column, row):
    """Take a place on a picture, counted from the corner of its first pixel, by GeoTIFF's own six numbers."""
    return corner.a * column + corner.b * row + corner.c, corner.d * column + corner.e * row + corner.f


def geotiff_of(picture, corner, crs, **more):
    import rasterio
    from rasterio.io import MemoryFile

    bands = np.moveaxis(picture, -1, 0)
    height, width = picture.shape[:2]
    kind = {"driver": "GTiff", "width": width, "height": height, "count": len(bands), "dtype": picture.dtype}
    with MemoryFile() as file:
        with rasterio.Env(), file.open(**kind, crs=crs, transform=corner, **more) as opened:
            opened.write(bands)
        return file.read()


@pytest.mark.parametrize("longest", [500, 64])
def test_a_geotiff_by_rasterio_is_read_back_to_a_millimetre(longest):
    rasterio = pytest.importorskip("rasterio")
    corner = rasterio.Affine(0.25, 0.03, 431_250.125, 0.04, -0.25, 6_789_012.5)
    content = geotiff_of(np.full((120, 200, 3), 90, np.uint8), corner, "EPSG:32630")
    read = read_backdrop(content, 1_000_000, longest)
    assert read.system == "EPSG:32630"
    assert (read.came_width, read.came_height) == (200, 120)
    assert max(read.width, read.height) == min(longest, 200)
    world = PictureWorld(*read.world)
    for column, row in ((0, 0), (199, 0), (0, 119), (57, 83)):
        assert world.apply((column, row)) == pytest.approx(at(corner, column + 0.5, row + 0.5), abs=0.001)
    drawn = world.of_sized((200, 120), (read.width, read.height))
    corners = drawn.apply([(-0.5, -0.5), (read.width - 0.5, read.height - 0.5)])
    assert corners == pytest.approx(np.array([at(corner, 0, 0), at(corner, 200, 120)]), abs=0.001)


@pytest.mark.parametrize("dtype", [np.uint16, np.float32])
def test_a_geotiff_of_one_deep_band_becomes_a_picture_of_greys(dtype):
    rasterio = pytest.importorskip("rasterio")
    heights = np.linspace(0, 900, 60 * 80).reshape(60, 80, 1).astype(dtype)
    content = geotiff_of(heights, rasterio.Affine(1, 0, 5, 0, -1, 9), "EPSG:4326")
    read = read_backdrop(content, 1_000_000, 500)
    assert read.system == "lonlat"
    picture = np.asarray(Image.open(io.BytesIO(read.content)).convert("L"))
    assert picture.shape == (60, 80)
    assert picture[-1].mean() - picture[0].mean() > 200


def test_two_places_give_a_similarity_and_three_show_what_they_miss():
    world = PictureWorld(0.2, 0.1, 0.1, -0.2, 50.0, 80.0)
    pixels = np.array([(10.0, 20.0), (800.0, 90.0), (300.0, 700.0)])
    two = by_places(pixels[:2], world.apply(pixels[:2]))
    assert two.world.six == pytest.approx(world.six, abs=1e-9)
    off = world.apply(pixels) + np.array([(0, 0), (0, 0), (0.3, 0)])
    assert by_places(pixels, off).off_m.max() > 0.05


def test_a_picture_taken_through_a_bent_system_says_how_far_it_is_off():
    world = PictureWorld(1.0, 0.0, 0.0, -1.0, 0.0, 0.0)
    bent = through(world, (101, 101), lambda xy: xy + np.column_stack([1e-4 * xy[:, 0] ** 2, 0 * xy[:, 0]]))
    assert 0.05 < bent.off_m.max() < 0.2
    straight = through(world, (101, 101), lambda xy: xy @ [[0, 2], [3, 0]] + (5, 6))
    assert straight.off_m.max() < 1e-9
