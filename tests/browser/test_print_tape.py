"""Tie sheets, base lines and plans of pegs as Chromium prints them: nothing cut, headings repeated, A4 and Letter."""

from __future__ import annotations

import io
import re

import numpy as np
import pytest
from pypdf import PageObject, PdfReader

pytestmark = pytest.mark.browser

MM_PER_PT = 25.4 / 72
MARGIN_MM = 14.0
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
BUNKER = "/sites/skerry-bank/bunkers/4-right"
SHEETS = {
    "ties": (f"{BUNKER}/ties", "A4"),
    "base line": (f"{BUNKER}/baseline?from=r4a&to=r4b", "Letter"),
}


HEAD = "Skerry Bank (invented), hole 5"


def printed(chromium, address: str, path: str, paper: str) -> tuple[list[PageObject], list[str]]:
    """Print a page; return its pages, and the cells of its tables."""
    page = chromium.new_page()
    page.goto(address + path)
    cells = page.locator(".tie-table tbody tr").all_inner_texts()
    made = page.pdf(format=paper)
    page.close()
    return list(PdfReader(io.BytesIO(made)).pages), cells


def read_page(page: PageObject) -> tuple[str, np.ndarray]:
    """Return the words of a page, and where its pieces of text begin, millimetres `(N, 2)`."""
    found: list[tuple[float, float]] = []

    def visit(text, at, of_text, _font, _size) -> None:
        if text.strip():
            x, y = of_text[4], of_text[5]
            found.append((at[0] * x + at[2] * y + at[4], at[1] * x + at[3] * y + at[5]))

    words = page.extract_text(visitor_text=visit)
    return re.sub(r"\s+", " ", words), np.array(found) * MM_PER_PT


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_goes_over_pages_with_every_row_whole_and_its_heading_repeated(chromium, demo, name):
    path, paper = SHEETS[name]
    pages, rows = printed(chromium, demo.address, path, paper)
    assert len(pages) > 1
    width, height = PAPERS[paper]
    read = [read_page(page) for page in pages]
    for _, places in read:
        assert places.min() > MARGIN_MM - 0.5
        assert places[:, 0].max() < width - MARGIN_MM
        assert places[:, 1].max() < height - MARGIN_MM
    together = " ".join(words for words, _ in read)
    assert len(rows) == 89
    missing = [row for row in rows if re.sub(r"\s+", " ", row).strip() not in together]
    assert missing == []
    headed = [words for words, _ in read if re.search(r"± \d+ mm .*± \d+ mm", words)]
    assert len(headed) >= 2
    for words in headed:
        assert "4 right, rev. C" in words
        assert "expected" in words
    assert "Services. Have buried cables" in together
    assert "Download as CSV" not in together


@pytest.mark.parametrize("paper", PAPERS)
def test_a_plan_of_pegs_is_one_page(chromium, demo, paper):
    pages, _ = printed(chromium, demo.address, "/sites/skerry-bank/bunkers/5-waste/peg-plan", paper)
    assert len(pages) == 1
    words, _ = read_page(pages[0])
    assert len(re.findall(r"\balong, m\b", words)) == 1, "one table with one head"
    for said in (
        "Plan of pegs: 5 waste",
        HEAD,
        "fairway",
        "5-waste-a",
        "not kept",
        "Every point is well tied",
        "Services. Have buried cables",
    ):
        assert said in words
    assert "Work it out" not in words


def test_the_board_of_pegs_says_on_paper_what_site_and_day_it_is_of(chromium, demo):
    pages, _ = printed(chromium, demo.address, "/sites/skerry-bank/pegs", "A4")
    words, _ = read_page(pages[0])
    assert re.search(
        r"Pegs of Skerry Bank \(invented\) as reported since [\d-]+ [\d:]+ UTC drawn \d{4}-\d\d-\d\d", words
    )
