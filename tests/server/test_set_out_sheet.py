"""The set-out sheet as a page: positions reckoned anew, revisions and drafts said plainly, what cannot be drawn."""

import json
import math
import re
from dataclasses import replace
from datetime import UTC, datetime
from html import unescape
from itertools import pairwise

import numpy as np
import pytest
import segno
from geographiclib.geodesic import Geodesic
from pyproj import Transformer

from fieldapp.formats.draft import draft_document
from fieldapp.model import ControlPoint, DrawnShape, Outline
from fieldapp.model.draft import Draft
from fieldapp.server.app import create_app
from fieldapp.server.labels import LabelRoom
from fieldapp.server.point_numbers import numbers_words, set_numbers
from fieldapp.settings import Settings
from fieldapp.store.drafts import KeptDraft, add_draft
from fieldapp.store.issues import Issue
from fieldapp.workflow.issuing import add_revision, checked_text, with_bunker
from fieldapp.workflow.sites import load_site, standing_site
from tests.conftest import REPOSITORY
from tests.server.conftest import Visitor

SHEET = "/sites/{}/bunkers/{}/set-out-sheet"
WHEN = datetime(2026, 5, 4, 9, 30, tzinfo=UTC)
MEAN_RADIUS_M = 6_383_000.0


def made_app(folder, *sites):
    app = create_app(Settings(data_dir=folder, trust_this_machine=True))
    for site in sites:
        load_site(app.state.store, REPOSITORY / "sample_sites" / site, WHEN)
    return app


def asking(app):
    visitor = Visitor(app)
    return lambda site, bunker, query="": visitor.get(f"{SHEET.format(site, bunker)}?{query}")


@pytest.fixture(scope="module")
def read(tmp_path_factory):
    """Asks for a sheet of sites that nobody changes."""
    app = made_app(tmp_path_factory.mktemp("read"), "skerry-bank", "vindeloga")
    yield asking(app)
    app.state.store.close()


@pytest.fixture
def app(tmp_path):
    made = made_app(tmp_path / "data", "skerry-bank")
    yield made
    made.state.store.close()


@pytest.fixture
def ask(app):
    return asking(app)


def words_of(page):
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", page.text)))


def table_of(page, part):
    """The cells of a part's points: number, x, y, latitude, longitude, chainage, level."""
    sections = re.findall(r"<h3>(.*?)</h3>(.*?)</section>", page.text, re.DOTALL)
    found = "".join(body for title, body in sections if title.split(", going")[0] == f"Paint points: {part}")
    rows = re.findall(r"<tr><th scope=\"row\">(\d+)</th>(.*?)</tr>", found, re.DOTALL)
    return [
        [int(number), *map(float, re.findall(r"<td[^>]*>([-\d.]+)</td>", cells))] for number, cells in rows
    ]


def test_positions_on_a_local_grid_are_those_of_a_geodesic_from_its_origin(read):
    rows = table_of(read("skerry-bank", "4-right"), "sand edge")
    assert [row[0] for row in rows] == list(range(1, 46))
    for _, x, y, lat, lon, *_ in rows:
        across, up = x - 2000.0, y - 5000.0
        bearing = math.degrees(math.atan2(across, up)) + 12.0
        along_m = math.hypot(across, up) / (1.0 + 68.0 / MEAN_RADIUS_M)
        reckoned = Geodesic.WGS84.Direct(53.6, -5.0, bearing, along_m)
        assert (lat, lon) == pytest.approx((reckoned["lat2"], reckoned["lon2"]), abs=4e-8)


def test_positions_on_a_national_grid_are_those_of_its_projection(read):
    rows = np.array(table_of(read("vindeloga", "7-right"), "mound top"))
    lon, lat = Transformer.from_crs("EPSG:3006", "EPSG:4326", always_xy=True).transform(
        rows[:, 1], rows[:, 2]
    )
    assert np.abs(rows[:, 3] - lat).max() < 2e-8
    assert np.abs(rows[:, 4] - lon).max() < 2e-8


def test_chainage_is_along_the_line_on_the_ground(read):
    rows = table_of(read("vindeloga", "7-right"), "mound top")
    for one, other in pairwise(rows):
        chord_m = Geodesic.WGS84.Inverse(one[3], one[4], other[3], other[4])["s12"]
        assert other[5] - one[5] == pytest.approx(chord_m, abs=0.02)


def test_the_code_leads_to_the_phones_page(read):
    page = read("skerry-bank", "4-right")
    path = re.search(r'class="qr-code".*?<path[^>]*stroke="#0d1a12"[^>]*\bd="([^"]+)"', page.text, re.DOTALL)[
        1
    ]
    wanted = segno.make("http://127.0.0.1:8000/sites/skerry-bank/set-out/4-right", error="m")
    assert drawn_modules(path, len(wanted.matrix)) == {
        (row, column) for row, line in enumerate(wanted.matrix) for column, dark in enumerate(line) if dark
    }


def drawn_modules(path, size, border=2):
    """The dark modules of an SVG path of level strokes, by row and column."""
    dark, x, y = set(), 0.0, 0.0
    for verb, across, down in re.findall(r"([Mmh])(-?[\d.]+)(?:[ ,]?(-?[\d.]+))?", path):
        if verb == "M":
            x, y = float(across), float(down)
        elif verb == "m":
            x, y = x + float(across), y + float(down)
        else:
            dark |= {(int(y) - border, int(x) + at - border) for at in range(int(across))}
            x += float(across)
    assert all(0 <= row < size and 0 <= column < size for row, column in dark)
    return dark


def as_drawn(app, revision, move=0.0):
    """Bunker 4-right drawn in course coordinates, moved east."""
    standing = standing_site(app.state.store, "skerry-bank")
    laid = next(one for one in standing.bunkers if one.bunker.id == "4-right")
    outlines = tuple(
        Outline(
            outline.id,
            outline.part,
            DrawnShape(tuple(ControlPoint(float(x) + move, float(y)) for x, y in outline.points.xy)),
        )
        for outline in laid.outlines
    )
    return standing, replace(laid.bunker, revision=revision, place=None, outlines=outlines)


def keep_draft(app, bunker, state="open", number=1):
    text = json.dumps(draft_document(Draft(bunker, "C", 1)))
    with app.state.store.writing() as transaction:
        add_draft(transaction, KeptDraft("skerry-bank", bunker.id, number, state, text, "Robin", WHEN))


def test_an_issued_revision_says_who_when_and_why_and_the_one_before_says_superseded(app, ask):
    standing, bunker = as_drawn(app, "D", move=0.5)
    text = checked_text(with_bunker(standing.site, bunker), "it", "change it")
    why = "The drain was found a metre nearer. " + "It was dug for twice and then found by its outfall. " * 6
    seen = "Clay drain: 0.40 m, keep 1.00 m."
    with app.state.store.writing() as transaction:
        add_revision(
            transaction, text, Issue("skerry-bank", "4-right", "D", 0, "draft 3", "Kim", why, WHEN, (seen,))
        )
    now, before = ask("skerry-bank", "4-right"), ask("skerry-bank", "4-right", "revision=C")
    assert now.status_code == before.status_code == 200
    assert "2026-05-04 09:30 UTC, Kim" in words_of(now)
    assert why.strip() in words_of(now)
    assert f"Acknowledged when it was issued: {seen}" in words_of(now)
    assert "uperseded" not in now.text
    assert "Superseded by D: do not set out from this" in words_of(before)
    assert "opens revision D" in words_of(before)
    assert "SUPERSEDED BY D" in before.text
    moved = (
        np.array(table_of(now, "sand edge"))[:, 1].mean()
        - np.array(table_of(before, "sand edge"))[:, 1].mean()
    )
    assert moved == pytest.approx(0.5, abs=0.02)
    assert 'name="revision" value="C"' in before.text


def test_a_draft_says_that_nobody_sets_out_from_it(app, ask):
    _, bunker = as_drawn(app, "")
    for number in range(1, 8):
        keep_draft(app, bunker, number=number)
    page = ask("skerry-bank", "4-right", "draft=1&paper=a3")
    assert page.status_code == 200
    assert words_of(page).count("Draft 7, not issued: do not set out from this") >= 2
    assert "DRAFT 7, NOT ISSUED" in page.text
    assert "qr-code" not in page.text
    assert "no phone page before it is issued" in page.text
    assert 'name="draft" value="1"' in page.text


def test_outlines_of_one_part_are_told_apart_by_their_ids(app, ask):
    _, bunker = as_drawn(app, "")
    sand = bunker.outlines[0]
    points = tuple(replace(point, x=point.x + 15.0) for point in sand.shape.points)
    other = replace(sand, id="rim-2", shape=replace(sand.shape, points=points))
    keep_draft(app, replace(bunker, outlines=(*bunker.outlines, other)))
    page = ask("skerry-bank", "4-right", "draft=1&paper=a3")
    called = [f"sand edge '{sand.id}'", "sand edge 'rim-2'"]
    assert all(len(table_of(page, words.replace("'", "&#39;"))) > 8 for words in called)
    ties = re.search(r"<h3>Ties to pegs</h3>(.*?)</section>", page.text, re.DOTALL)[1]
    tied = [unescape(words) for words in re.findall(r'<th scope="row">(.*?)</th>', ties)]
    assert len(set(tied)) == len(tied)
    assert {f"{words} 1" for words in called} <= set(tied)
    on_plan = unescape(re.sub(r"<[^>]+>", " ", "".join(re.findall(r"<text.*?</text>", page.text, re.DOTALL))))
    assert all(words in on_plan for words in called)
    assert not re.search(r"sand edge \d", words_of(page))


@pytest.mark.parametrize("state", ["issued", "given up"])
def test_a_draft_that_is_open_no_more_is_not_drawn(app, ask, state):
    keep_draft(app, as_drawn(app, "")[1], state)
    page = ask("skerry-bank", "4-right", "draft=1")
    assert page.status_code == 404
    assert "There is no open draft of bunker '4-right'" in words_of(page)


def test_a_draft_without_an_outline_says_so(app, ask):
    keep_draft(app, replace(as_drawn(app, "")[1], outlines=()))
    page = ask("skerry-bank", "4-right", "draft=1")
    assert page.status_code == 422
    assert "has no outline yet; draw one first" in words_of(page)


def test_what_is_not_there_is_told_with_what_there_is(read):
    assert "there are: C." in words_of(read("skerry-bank", "4-right", "revision=Z"))
    assert read("skerry-bank", "nowhere").status_code == 404
    page = read("skerry-bank", "4-right", "paper=a0&scale=77")
    assert page.status_code == 422
    assert "There is no paper called 'a0'; there are: a4, a3, letter." in words_of(page)
    assert "called '77'; there are: 50, 100, 200, 250, 500." in words_of(page)


def test_a_scale_that_does_not_fit_is_said_and_the_largest_that_does_is_drawn(read):
    page = read("skerry-bank", "5-waste", "scale=50")
    assert page.status_code == 422
    assert "At 1:50 this bunker does not fit on A4; it is drawn at 1:200" in words_of(page)
    assert (
        "1:500"
        in re.search(
            r'class="of-scale">.*?</div>', read("skerry-bank", "5-waste", "scale=500").text, re.DOTALL
        )[0]
    )


def test_a_waste_area_too_long_for_any_usual_scale_is_drawn_smaller_and_said(app, ask):
    bunker = as_drawn(app, "")[1]
    ring = tuple(ControlPoint(2200.0 + x, 5250.0 + y) for x, y in ((0, 0), (0, 400), (40, 400), (40, 0)))
    keep_draft(app, replace(bunker, outlines=(Outline("sand", "sand edge", DrawnShape(ring, "straight")),)))
    page = ask("skerry-bank", "4-right", "draft=1")
    assert page.status_code == 200
    assert "fits on the paper at none of the scales" in words_of(page)
    assert "1:2000" in page.text


def test_what_comes_too_near_is_on_the_plan_and_in_the_table(app, ask):
    keep_draft(app, as_drawn(app, "", move=3.5)[1])
    page = ask("skerry-bank", "4-right", "draft=1")
    assert "TOO NEAR" in page.text
    assert 'class="near"' in page.text
    assert "comes too near" in page.text
    assert "A drawing is not a detection: have services located before digging." in words_of(page)


def test_numbers_thin_out_where_points_are_dense():
    room = LabelRoom(4000, 100, [])
    at = np.stack([np.arange(100) * 4.0 + 20, np.full(100, 50.0)], axis=1)
    numbers = set_numbers(room, at, np.tile([0.0, -1.0], (100, 1)))
    assert numbers.every > 1
    assert set(numbers.labels) == {1, *range(numbers.every, 101, numbers.every)}
    assert numbers_words(numbers).startswith("point 1 and every ")
