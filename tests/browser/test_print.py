"""The site page on paper: each bunker's plan and figures on one page, nothing beside the paper."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

pytestmark = pytest.mark.browser

SITE = "skerry-bank"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_bunker_is_printed_on_one_page(chromium, demo, paper):
    page = chromium.new_page()
    page.goto(f"{demo.address}/sites/{SITE}")
    names = page.locator(".bunker h2").all_inner_texts()
    last_row = page.locator(".bunker").first.locator("tr").last.locator("th, td").first.inner_text()
    pages = [found.extract_text() for found in PdfReader(io.BytesIO(page.pdf(format=paper))).pages]
    page.close()
    assert len(names) == 6
    for name in names:
        (printed,) = [text for text in pages if f"{name}\n" in text and "toward the green" in text]
        assert last_row in printed
    assert len(pages) <= len(names) + 2
