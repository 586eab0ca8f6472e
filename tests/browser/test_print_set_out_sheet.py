"""The set-out sheet as Chromium prints it: a true scale, every point at its place, nothing on another, nothing cut."""

from __future__ import annotations

import io
import json
import math
import re
import shutil
import signal
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from urllib.request import urlopen

import numpy as np
import pytest
import segno
from geographiclib.geodesic import Geodesic
from PIL import Image
from pypdf import PdfReader

from fieldapp.formats.draft import draft_document
from fieldapp.model import ControlPoint, DrawnShape, Outline
from fieldapp.model.draft import Draft
from fieldapp.settings import Settings
from fieldapp.store.drafts import KeptDraft, add_draft
from fieldapp.store.engine import open_store
from fieldapp.store.issues import Issue
from fieldapp.workflow.issuing import add_revision, checked_text, with_bunker
from fieldapp.workflow.sites import standing_site
from tests.browser.printed import MM_PER_PT, circles_mm, read_text, scale_bars_mm
from tests.conftest import REPOSITORY

pytestmark = pytest.mark.browser

PAPERS = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4)}
SITES = ("skerry-bank", "vindeloga", "quandary-strait")
MARGIN_MM = 10.0
UNIT_MM = 0.22
SHARPNESS = 4
DOT_MM = 2.8 * UNIT_MM
METRES = {"m": 1.0, "ft": 0.3048}
NO_DETECTION = "A drawing is not a detection: have services located before digging."
WHY = "The committee walked it with the crew: " + "the north end came off the drain, " * 9
LONG = {
    '"Skerry Bank (invented)"': '"Great Skerry Bank and Little Ebb, Northern Championship Links (invented)"',
    '"Long Ebb"': '"The Long Ebb beyond the Lifeboat House"',
    '"4 right"': '"4 right, the Schoolmasterswife beyond the burn"',
    '"Back tee"': '"Championship back tee"',
    '"Clay drain"': '"Clay drain of the old Schoolmasterswife"',
    '"r4a"': '"r4a-oak-of-the-lifeboat"',
}

LOOK = Path(__file__).with_name("set_out_sheet.js").read_text(encoding="utf-8")


class Sheet:
    """A set-out sheet as it is printed: what the page says, what is wrong with its layout, the pages of its PDF."""

    def __init__(
        self, chromium, address: str, site: str, bunker: str, query: str, printed: bool = True
    ) -> None:
        page = chromium.new_page(viewport={"width": 1600, "height": 1600})
        answer = page.goto(f"{address}/sites/{site}/bunkers/{bunker}/set-out-sheet?{query}")
        self.status, self.words = answer.status, page.locator("main").inner_text()
        made = page.pdf(prefer_css_page_size=True) if printed else b""
        page.emulate_media(media="print")
        self.said, self.faults = page.evaluate(LOOK[LOOK.index("() =>") :])
        page.close()
        self.pages = list(PdfReader(io.BytesIO(made)).pages) if printed else []
        self.texts = [read_text(one) for one in self.pages]
        self.ratio = int(re.search(r"1:(\d+)", self.said["scale"])[1])

    def points(self, part: str) -> dict[int, list[str]]:
        """The cells of a part's table by number."""
        titles = (f"Paint points: {part}", f"Paint points: {part}, going on")
        rows = [row for title, rows in self.said["tables"] if title in titles for row in rows]
        return {int(row[0]): row[1:] for row in rows}


def check_pages(sheet: Sheet, paper: str) -> None:
    """As many pages as are said, each of the paper's size and with its head, all words in their margins, rows whole."""
    assert sheet.faults == []
    assert len(sheet.pages) == sheet.said["sheets"]
    assert sheet.said["number"] == f"1 of {len(sheet.pages)}"
    for number, (page, text) in enumerate(zip(sheet.pages, sheet.texts, strict=True), 1):
        size = np.array([float(page.mediabox.width), float(page.mediabox.height)]) * MM_PER_PT
        assert sorted(size) == pytest.approx(sorted(PAPERS[paper]), abs=0.3)
        assert f"{number} of {len(sheet.pages)}" in text.words
        assert number == 1 or text.words.startswith("Set-out sheet: ")
        assert text.places_mm.min() > MARGIN_MM - 0.5
        assert (text.places_mm.max(axis=0) < size - MARGIN_MM).all()
        assert min(text.sizes_pt) >= 6.9
    together = " ".join(text.words for text in sheet.texts)
    rows = [" ".join(row).strip() for _, rows in sheet.said["tables"] for row in rows]
    assert [row for row in rows if re.sub(r"\s+", " ", row) not in together] == []
    assert NO_DETECTION in sheet.texts[0].words
    assert "a competent person on site" in sheet.texts[0].words


def check_scale(sheet: Sheet) -> None:
    """The scale bar, and the points of the sand edge in the PDF against their own latitudes and longitudes."""
    (bar_mm,) = scale_bars_mm(sheet.pages[0])
    length, unit = sheet.said["bar"].split()
    assert bar_mm == pytest.approx(float(length) * METRES[unit] * 1000 / sheet.ratio, rel=0.002)
    rows = sheet.points("sand edge")
    at = circles_mm(sheet.pages[0], DOT_MM)[: len(rows) - 1]
    assert len(at) == len(rows) - 1 == max(rows) - 1
    for one, other in ((2, len(rows) // 2), (len(rows) // 3, len(rows))):
        (lat, lon), (its_lat, its_lon) = (
            [float(cell) for cell in rows[number][2:4]] for number in (one, other)
        )
        ground_m = Geodesic.WGS84.Inverse(lat, lon, its_lat, its_lon)["s12"]
        paper_mm = math.dist(at[one - 2], at[other - 2])
        assert paper_mm == pytest.approx(ground_m * 1000 / sheet.ratio, rel=0.002, abs=0.03)


def bunkers(address: str) -> list[tuple[str, str]]:
    """The bunkers to whose sheets the pages of the sites lead."""
    found = []
    for site in SITES:
        with urlopen(f"{address}/sites/{site}") as answer:
            words = answer.read().decode("utf-8")
        found += [(site, bunker) for bunker in re.findall(r"/bunkers/([\w-]+)/set-out-sheet\"", words)]
    return found


def check_positions(sheet: Sheet, designed) -> None:
    """Every paint point is in the tables, at its place."""
    titles = {title.removesuffix(", going on") for title, _ in sheet.said["tables"]}
    for part in (title.split(": ")[1] for title in titles if title.startswith("Paint points: ")):
        printed, wanted = sheet.points(part), designed(part)
        assert printed.keys() == wanted.keys()
        for number, cells in printed.items():
            at = wanted[number]["lat"], wanted[number]["lon"]
            assert (float(cells[2]), float(cells[3])) == pytest.approx(at, abs=6e-9)


def test_nothing_is_cut_or_stands_on_another_on_any_sheet_and_every_point_is_in_its_tables(
    chromium, demo, points_of
):
    found = bunkers(demo.address)
    assert len(found) == 16
    for turn, (site, bunker) in enumerate(found):
        paper = list(PAPERS)[turn % 3]
        sheet = Sheet(chromium, demo.address, site, bunker, f"paper={paper}", printed=False)
        assert (sheet.status, sheet.faults) == (200, []), (site, bunker, paper)
        check_positions(sheet, partial(points_of, site, bunker))


PRINTED = [
    ("skerry-bank", "3-pot", "letter", 50),
    ("skerry-bank", "5-waste", "a4", 200),
    ("quandary-strait", "12-inner", "letter", 200),
    ("vindeloga", "7-right", "a3", 100),
]


@pytest.mark.parametrize(("site", "bunker", "paper", "ratio"), PRINTED)
def test_a_printed_sheet_is_true_to_scale_and_goes_over_pages_whole(
    chromium, demo, site, bunker, paper, ratio
):
    sheet = Sheet(chromium, demo.address, site, bunker, f"paper={paper}")
    assert sheet.ratio == ratio
    check_pages(sheet, paper)
    check_scale(sheet)


ASKED = (
    ("revision=C", "a4", "Superseded by D"),
    ("", "letter", ""),
    ("draft=1", "a3", "Draft 7, not issued"),
)


def test_a_draft_and_long_names_and_reasons_stay_on_their_sheets(chromium, tmp_path, server_process):
    folder, data = tmp_path / "site", tmp_path / "data"
    shutil.copytree(REPOSITORY / "sample_sites" / "skerry-bank", folder)
    file = folder / "site.toml"
    text = file.read_text(encoding="utf-8")
    for short, long in LONG.items():
        assert short in text
        text = text.replace(short, long)
    file.write_text(text, encoding="utf-8")
    words = [sys.executable, "-m", "fieldapp", "site", "load", str(folder), "--data", str(data)]
    subprocess.run(words, cwd=REPOSITORY, capture_output=True, check=True)
    with closing(open_store(Settings(data_dir=data))) as store:
        issue_and_draft(store)
    server = server_process(data)
    try:
        for query, paper, said in ASKED:
            sheet = Sheet(
                chromium, server.address, "skerry-bank", "4-right", f"paper={paper}&{query}", bool(said)
            )
            assert (sheet.status, sheet.faults) == (200, []), (query, paper)
            if said:
                check_pages(sheet, paper)
                assert all(f"{said}: do not set out from this" in text.words for text in sheet.texts)
            across = f"{said}: do not set out from this".upper().replace(":", "") if said else ""
            assert " ".join(sheet.said["across"]) == across
        check_code(chromium, server.address)
    finally:
        server.stop(signal.SIGKILL)


def issue_and_draft(store) -> None:
    """Issue 4-right as D, with a long reason, and keep seven drafts of the next."""
    standing = standing_site(store, "skerry-bank")
    laid = next(one for one in standing.bunkers if one.bunker.id == "4-right")
    outlines = tuple(
        Outline(
            one.id, one.part, DrawnShape(tuple(ControlPoint(float(x), float(y)) for x, y in one.points.xy))
        )
        for one in laid.outlines
    )
    bunker = replace(laid.bunker, revision="D", place=None, outlines=outlines)
    text = checked_text(with_bunker(standing.site, bunker), "it", "change it")
    document = json.dumps(draft_document(Draft(bunker, "D", 2)))
    now = datetime.now(UTC)
    with store.writing() as transaction:
        issue = Issue("skerry-bank", "4-right", "D", 0, "draft 3", "Robin of the Schoolmasterswife", WHY, now)
        add_revision(transaction, text, issue)
        for number in range(1, 8):
            add_draft(
                transaction, KeptDraft("skerry-bank", "4-right", number, "open", document, "Robin", now)
            )


def check_code(chromium, address: str) -> None:
    """The code on paper has the modules of the way to the phone's page."""
    page = chromium.new_page(viewport={"width": 1600, "height": 1600}, device_scale_factor=SHARPNESS)
    page.goto(f"{address}/sites/skerry-bank/bunkers/4-right/set-out-sheet")
    page.emulate_media(media="print")
    code = page.locator(".qr-code")
    code.scroll_into_view_if_needed()
    box = code.bounding_box()
    left, top = math.floor(box["x"]) - 1, math.floor(box["y"]) - 1
    size = math.ceil(box["width"]) + 3
    picture = page.screenshot(clip={"x": left, "y": top, "width": size, "height": size})
    page.close()
    shades = np.asarray(Image.open(io.BytesIO(picture)).convert("L"))
    address_of_page = f"{address}/sites/skerry-bank/set-out/4-right"
    wanted = np.array(segno.make(address_of_page, error="m").matrix, dtype=bool)
    middles = (np.arange(len(wanted)) + 2.5) * box["width"] / (len(wanted) + 4)
    across, down = (
        ((middles + box[axis] - begin) * SHARPNESS).astype(int) for axis, begin in (("x", left), ("y", top))
    )
    assert np.array_equal(shades[np.ix_(down, across)] < 128, wanted)


def test_the_checker_of_layouts_sees_what_it_is_for(chromium, demo):
    page = chromium.new_page(viewport={"width": 1600, "height": 1600})
    page.goto(f"{demo.address}/sites/skerry-bank/bunkers/4-right/set-out-sheet")
    page.emulate_media(media="print")
    page.evaluate(
        """() => {
          const [first, second] = document.querySelectorAll('.number');
          second.setAttribute('x', first.getAttribute('x'));
          second.setAttribute('y', first.getAttribute('y'));
          document.querySelector('.of-bunker b').textContent = 'long '.repeat(60);
          document.querySelector('.drawn-notes').style.height = '90mm';
        }"""
    )
    _, faults = page.evaluate(LOOK[LOOK.index("() =>") :])
    page.close()
    for words in ("stands on", "of-bunker is cut", "lies over"):
        assert any(words in fault for fault in faults), words
