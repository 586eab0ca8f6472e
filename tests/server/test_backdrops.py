"""Pictures to draw over: sent, laid on the course, listed, shown, taken off; what cannot be is refused in words."""

import io

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from fieldapp.settings import FileLimits
from tests.photos import COMMENT, jpeg_photo, told_beside

API = "/api/sites/small-links/backdrops"
WORLD = "0.5\n0\n0\n-0.5\n900\n2300\n"
PLACES = [{"column": 100, "row": 200, "mark": "c1"}, {"column": 120, "row": 220, "mark": "white"}]


def send(visitor, content=None, **query):
    return visitor.post(
        API, params={"name": "air.jpg", **query}, content=jpeg_photo() if content is None else content
    )


def png(width=60, height=40):
    out = io.BytesIO()
    Image.new("RGBA", (width, height), (10, 200, 30, 128)).save(out, "PNG")
    return out.getvalue()


def listed(visitor):
    return visitor.get(API).json()["backdrops"]


def test_a_picture_with_a_world_file_is_kept_listed_shown_and_taken_off(manager, let_in):
    kept = send(manager, world=WORLD, system="course").json()
    assert (kept["state"], kept["width"], kept["height"]) == ("kept", 320, 240)
    assert kept["world"] == pytest.approx([0.5, 0, 0, -0.5, 900, 2300], abs=1e-9)
    (one,) = listed(let_in("look"))
    assert one.keys() == {"id", "name", "width", "height", "world", "url", "fitted_by"}
    assert one["fitted_by"] == "its world file, in course coordinates."
    shown = let_in("look").get(one["url"])
    assert shown.headers["cache-control"] == "private, max-age=31536000, immutable"
    assert shown.headers["content-type"] == "image/jpeg"
    assert COMMENT not in shown.content
    assert not {"APP1", "COM"} & set(told_beside(shown.content))
    assert let_in("mark").post(f"{API}/{one['id']}/off").status_code == 403
    assert manager.post(f"{API}/{one['id']}/off").json() == {"off": one["id"]}
    assert listed(manager) == []
    again = manager.post(f"{API}/{one['id']}/off")
    assert (again.status_code, again.json()["detail"]) == (
        404,
        f"There is no picture '{one['id']}' on this site; it may have been taken off.",
    )


def test_a_picture_without_one_waits_until_it_is_laid_by_pegs(manager):
    waiting = send(manager, png(400, 300)).json()
    assert (waiting["state"], waiting["width"], listed(manager)) == ("waiting", 400, [])
    assert manager.get(waiting["url"]).headers["content-type"] == "image/jpeg"
    looked = manager.post(f"{API}/{waiting['id']}/fit", json={"places": PLACES}).json()
    a, d, b, e, c, f = looked["world"]
    assert (a * 100 + b * 200 + c, d * 100 + e * 200 + f) == pytest.approx((990.0, 2010.0))
    assert looked["told"][-1] == "Two places fit whatever they are, so nothing checks this: click a third."
    assert listed(manager) == []
    kept = manager.post(f"{API}/{waiting['id']}/fit", json={"places": PLACES, "keep": True}).json()
    assert [one["id"] for one in listed(manager)] == [kept["id"]]
    assert manager.get(waiting["url"]).status_code == 404


def test_a_world_file_in_a_published_system_and_a_geotiff_come_to_the_same_place(manager, app):
    rasterio = pytest.importorskip("rasterio")
    from fieldapp.geodesy.transform import transform
    from fieldapp.workflow.sites import standing_site
    from tests.published.test_world_files import geotiff_of

    grid = standing_site(app.state.store, "small-links").grid
    east, north = transform("EPSG:4326", "EPSG:32629", grid.to_gnss(np.array([1000.0, 2200.0])))
    corner = rasterio.Affine(0.25, 0, east, 0, -0.25, north)
    content = geotiff_of(np.full((200, 300, 3), 70, np.uint8), corner, "EPSG:32629")
    by_itself = send(manager, content).json()
    text = f"0.25\n0\n0\n-0.25\n{float(east) + 0.125!r}\n{float(north) - 0.125!r}\n"
    by_file = send(manager, jpeg_photo(300, 200), world=text, system="EPSG:32629").json()
    assert by_itself["world"] == pytest.approx(by_file["world"], abs=1e-6)
    assert by_itself["told"] == ["Between EPSG:32629 and the course the picture is bent by 0.000 m at most."]
    a, d, b, e, c, f = by_itself["world"]
    middle = [(east + 150 * 0.25, north - 100 * 0.25)]
    wanted = grid.to_course(transform("EPSG:32629", "EPSG:4326", middle))[0]
    assert (a * 149.5 + b * 99.5 + c, d * 149.5 + e * 99.5 + f) == pytest.approx(tuple(wanted), abs=0.001)


def test_without_rasterio_a_geotiff_is_told_which_extra_to_install(monkeypatch):
    import sys

    from fieldapp.errors import FormatError
    from fieldapp.formats.backdrop_image import read_backdrop

    monkeypatch.setitem(sys.modules, "rasterio", None)
    with pytest.raises(FormatError, match=r"pip install 'fieldapp\[geotiff\]'"):
        read_backdrop(b"II*\x00" + b"\x00" * 50, 1000, 1000)


@pytest.mark.parametrize(
    ("content", "query", "status", "words"),
    [
        (b"", {}, 422, "no picture that can be read"),
        (b"GIF89a" + b"\x00" * 40, {}, 422, "no picture that can be read"),
        (b"II*\x00" + b"\xff" * 400, {}, 422, "This TIFF cannot be read"),
        (png()[:-30], {"world": WORLD, "system": "course"}, 422, "no picture that can be read"),
        (None, {"world": "1\n2\n", "system": "course"}, 422, "has 2 lines"),
        (None, {"world": WORLD, "system": "moon"}, 422, "'moon' is no EPSG code"),
        (None, {"world": WORLD, "system": "EPSG:999999"}, 422, "EPSG:999999"),
        (None, {"world": WORLD.replace("0.5", "9000"), "system": "course"}, 422, "from corner to corner"),
        (None, {"world": "x" * 3000, "system": "course"}, 422, "query.world"),
    ],
)
def test_what_cannot_be_a_picture_on_the_course_is_refused_and_nothing_stays(
    manager, settings, content, query, status, words
):
    answer = send(manager, content, **query)
    assert (answer.status_code, words in answer.json()["detail"]) == (status, True), answer.json()
    assert "Traceback" not in answer.text
    assert list((settings.data_dir / "pictures").glob("*")) == []
    assert listed(manager) == []


@pytest.mark.parametrize(
    ("asked", "status", "words"),
    [
        ({}, 422, "'places'"),
        ({"places": [1]}, 422, "must be objects"),
        ({"places": PLACES[:1]}, 422, "two at least"),
        ({"places": [PLACES[0], PLACES[0]]}, 422, "named twice"),
        ({"places": [PLACES[0], {"column": 1, "row": 1, "mark": "c9"}]}, 404, "'c9'"),
        ({"places": [PLACES[0], {"column": 1e6, "row": 1, "mark": "white"}]}, 422, "outside the picture"),
        (
            {"places": [PLACES[0], {"column": None, "row": 1, "mark": "white"}]},
            422,
            "'column' must be a number",
        ),
        ({"places": [PLACES[0], {"column": 101, "row": 200, "mark": "white"}]}, 422, "pixels apart"),
    ],
)
def test_places_that_cannot_lay_a_picture_are_refused(manager, asked, status, words):
    waiting = send(manager).json()
    answer = manager.post(f"{API}/{waiting['id']}/fit", json=asked)
    assert (answer.status_code, words in answer.json()["detail"]) == (status, True), answer.json()


def test_a_picture_of_too_many_pixels_or_bytes_is_refused(make_app, settings, visitor_to):
    from dataclasses import replace

    limits = FileLimits(backdrop_bytes=300_000, backdrop_pixels=50_000, backdrop_side=50)
    visitor = visitor_to(make_app(replace(settings, files=limits)))
    assert send(visitor, b"\x00" * 300_001).status_code == 413
    many = send(visitor, png(1000, 500))
    assert (many.status_code, "million pixels" in many.json()["detail"]) == (422, True)
    kept = send(visitor, png(200, 100), world=WORLD, system="course").json()
    assert (kept["width"], kept["height"]) == (50, 25)
    assert kept["world"] == pytest.approx([2, 0, 0, -2, 900 + 0.75, 2300 - 0.75], abs=1e-9)


def test_the_page_shows_what_stands_and_what_waits(manager, let_in):
    send(manager, world=WORLD, system="course")
    waiting = send(manager).json()
    page = manager.get(f"/sites/small-links/backdrops?of={waiting['id']}").text
    assert "Laid by its world file, in course coordinates." in page
    assert "Where does air.jpg lie?" in page
    assert manager.get("/sites/small-links/backdrops?of=none").status_code == 404
    assert let_in("look").get("/sites/small-links/backdrops").status_code == 403


@settings(
    max_examples=25, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck)
)
@given(data=st.data())
def test_however_a_picture_is_broken_it_is_a_picture_or_refused(data):
    from fieldapp.errors import FormatError
    from fieldapp.formats.backdrop_image import read_backdrop

    whole = data.draw(st.sampled_from([png(), jpeg_photo(64, 48)]))
    broken = bytearray(whole)
    for at in data.draw(st.lists(st.integers(0, len(whole) - 1), max_size=8)):
        broken[at] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(whole)))
    try:
        read = read_backdrop(bytes(broken[:cut]), 1_000_000, 500)
    except FormatError:
        return
    assert max(read.width, read.height) <= 500
