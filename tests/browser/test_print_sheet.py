"""The sheet of a hole as Chromium prints it: one page, nothing cut off, and a scale that is true in the PDF."""

from __future__ import annotations

import io
import json
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.request import urlopen

import pytest
from pypdf import PageObject, PdfReader

from tests.browser.printed import MM_PER_PT, read_text, scale_bars_mm

pytestmark = pytest.mark.browser

REPOSITORY = Path(__file__).parents[2]
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN_MM = 10.0
CROWDED = "crowded-links"
HOLES = {"skerry-bank": (3, 4, 5), "vindeloga": (7, 8, 9), "quandary-strait": (12, 13)}
EVERY_HOLE = [(site, hole) for site, holes in HOLES.items() for hole in holes]
METRES = {"m": 1.0, "ft": 0.3048}
LONG_NAMES = {
    "Skerry Bank (invented)": "Great Skerry Bank and Little Ebb, Northern Championship Links (invented)",
    '"Long Ebb"': '"The Long Ebb beyond the Lifeboat House"',
    '"4 right"': '"4 right, the Schoolmasterswife beyond the burn"',
    '"Back tee"': '"Championship back tee"',
}
ONE_MORE = """
[[bunker]]
id = "more-{number}"
hole = 4
name = "4 more {number}"
revision = "A"

[bunker.place]
tee = "4-back"
along_yd = {along}
offset_yd = {offset}

[[bunker.outline]]
id = "sand"
part = "sand edge"
shape = "ellipse"
length_m = 9.0
width_m = 5.5
"""


def printed(chromium, address: str, site: str, hole: int, query: str) -> tuple[list[PageObject], dict]:
    """Print a sheet; return its pages, and what the page says in the browser."""
    page = chromium.new_page()
    page.goto(f"{address}/sites/{site}/holes/{hole}/sheet?{query}")
    said = {
        "arcs": page.locator(".name-arc").all_text_contents(),
        "names": page.locator(".of-paper .name-bunker tspan, .of-paper .name-tee tspan").all_text_contents(),
        "cells": page.locator(".sheet-table tbody th, .sheet-table tbody td").all_inner_texts(),
        "notes": page.locator(".paper-notes li").all_inner_texts(),
        "bar": page.locator(".of-paper .sheet-bar text").text_content(),
        "scale": page.locator(".paper-title").first.inner_text(),
        "second page": page.get_by_text("printed on a second page").count(),
    }
    made = page.pdf(prefer_css_page_size=True)
    page.close()
    return list(PdfReader(io.BytesIO(made)).pages), said


def check_bar(page: PageObject, said: dict) -> None:
    """The bar is as long on paper as the ratio says."""
    (drawn_mm,) = scale_bars_mm(page)
    length, unit = said["bar"].split()
    ratio = int(re.search(r"1:(\d+)", said["scale"])[1])
    assert drawn_mm == pytest.approx(float(length) * METRES[unit] * 1000 / ratio, rel=0.01)


def check_nothing_is_cut(pages: list[PageObject], said: dict, paper: str) -> None:
    """Every word is inside the margins, and all that the page says is in the PDF."""
    width, height = PAPERS[paper]
    for page in pages:
        assert float(page.mediabox.width) * MM_PER_PT == pytest.approx(width, abs=0.3)
        assert float(page.mediabox.height) * MM_PER_PT == pytest.approx(height, abs=0.3)
        places = read_text(page).places_mm
        assert places.min() > MARGIN_MM - 0.5
        assert places[:, 0].max() < width - MARGIN_MM
        assert places[:, 1].max() < height - MARGIN_MM
    together = " ".join(read_text(page).words for page in pages)
    for kind in ("arcs", "names", "cells", "notes"):
        assert said[kind] or kind == "arcs"
        missing = [text for text in said[kind] if re.sub(r"\s+", " ", text) not in together]
        assert missing == []


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("site", "hole"), EVERY_HOLE)
def test_a_sheet_is_one_page_with_all_on_it_and_a_true_scale(chromium, demo, site, hole, paper):
    pages, said = printed(chromium, demo.address, site, hole, f"paper={paper}")
    assert len(pages) == 1
    assert len(said["arcs"]) >= 2
    check_nothing_is_cut(pages, said, paper)
    check_bar(pages[0], said)


def test_the_holes_tried_are_all_there_are(demo):
    with urlopen(f"{demo.address}/api/sites") as answer:
        sites = json.load(answer)["sites"]
    assert {site["id"]: tuple(hole["number"] for hole in site["holes"]) for site in sites} == HOLES


def test_other_arcs_and_another_tee_stay_on_one_page(chromium, demo):
    pages, said = printed(chromium, demo.address, "skerry-bank", 5, "tee=5-short&step=20&paper=letter")
    assert len(pages) == 1
    assert said["arcs"][0] == "20"
    check_nothing_is_cut(pages, said, "letter")
    check_bar(pages[0], said)


class Crowded:
    """Servers with a hole of many bunkers and long names."""

    def __init__(self, folder: Path, server_process) -> None:
        self.folder, self.server_process = folder, server_process
        self.servers: list = []

    def with_bunkers(self, more: int, long_names: bool = True) -> str:
        """Return the address of a server whose hole 4 has so many more bunkers."""
        site, data = self.folder / f"site-{more}-{long_names}", self.folder / f"data-{more}-{long_names}"
        shutil.copytree(REPOSITORY / "sample_sites" / "skerry-bank", site)
        file = site / "site.toml"
        text = file.read_text(encoding="utf-8").replace('id = "skerry-bank"', f'id = "{CROWDED}"')
        for short, long in LONG_NAMES.items():
            assert short in text
            text = text.replace(short, long) if long_names else text
        for number in range(more):
            text += ONE_MORE.format(
                number=number, along=120 + 20 * (number // 2), offset=-34 if number % 2 else 34
            )
        file.write_text(text, encoding="utf-8")
        words = [sys.executable, "-m", "fieldapp", "site", "load", str(site), "--data", str(data)]
        subprocess.run(words, cwd=REPOSITORY, capture_output=True, check=True)
        self.servers.append(self.server_process(data))
        return self.servers[-1].address


@pytest.fixture(scope="module")
def crowded(tmp_path_factory, server_process) -> Iterator[Crowded]:
    made = Crowded(tmp_path_factory.mktemp("crowded"), server_process)
    yield made
    for server in made.servers:
        server.stop(signal.SIGKILL)


@pytest.mark.parametrize("paper", PAPERS)
def test_twelve_bunkers_fit_on_one_page_of_a4_in_type_that_can_be_read(chromium, crowded, paper):
    address = (
        crowded.with_bunkers(10, long_names=False) if not crowded.servers else crowded.servers[0].address
    )
    pages, said = printed(chromium, address, CROWDED, 4, f"paper={paper}")
    assert len(pages) == (1 if paper == "a4" else 2)
    check_nothing_is_cut(pages, said, paper)
    check_bar(pages[0], said)
    assert min(read_text(pages[0]).sizes_pt) >= 7.95


def test_long_names_and_more_bunkers_than_a_page_holds_go_on_a_second_page_and_are_told(chromium, crowded):
    pages, said = printed(chromium, crowded.with_bunkers(28), CROWDED, 4, "paper=a4")
    assert len(pages) == 2
    assert said["second page"] == 1
    check_nothing_is_cut(pages, said, "a4")
    check_bar(pages[0], said)
    assert "page 2 of 2" in read_text(pages[1]).words
    assert "4 more 27" in read_text(pages[1]).words


ROWS_OF_LENGTHS = """() => [...document.querySelectorAll('.lengths .each span')].map((one) => {
  const box = one.getBoundingClientRect();
  return [Math.round(box.left), Math.round(box.top), one.getClientRects().length, one.scrollWidth - one.clientWidth];
})"""


@pytest.mark.parametrize(("media", "width"), [("screen", 1280), ("print", 718)])
def test_the_lengths_from_four_tees_stand_in_two_even_rows(chromium, demo, media, width):
    page = chromium.new_page(viewport={"width": width, "height": 1000})
    page.emulate_media(media=media)
    page.goto(f"{demo.address}/sites/quandary-strait/holes/13/sheet")
    places = page.evaluate(ROWS_OF_LENGTHS)
    heights = page.evaluate(
        "() => ['.lengths', '.lengths .each span:last-child'].map((one) => document.querySelector(one)"
        ".getBoundingClientRect().bottom)"
    )
    page.close()
    assert len(places) == 4
    lefts, tops = ([place[at] for place in places] for at in (0, 1))
    assert tops[0] == tops[1] < tops[2] == tops[3]
    assert lefts[0] == lefts[2] < lefts[1] == lefts[3]
    assert heights[1] < heights[0]
