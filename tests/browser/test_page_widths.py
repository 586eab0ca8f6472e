"""Nothing is cut off at the side, from the narrowest phone to a desk."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "quandary-strait", "12-corner"
TOO_WIDE = """() => [...document.querySelectorAll('html, body, main, .work *, .start *, dialog[open], dialog[open] *')]
  .filter((e) => !e.closest('svg') && e.getClientRects().length > 0)
  .filter((e) => {
    const {left, right} = e.getBoundingClientRect();
    return right > innerWidth + 0.5 || left < -0.5 || (e.scrollWidth > innerWidth && e.clientWidth > 0);
  })
  .map((e) => `${e.tagName}.${e.className} ${e.textContent.slice(0, 40)}`)"""

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("width", [320, 360, 412, 1280])
def test_nothing_is_cut_off_at_the_side(demo, phone, points_of, width):
    worker = phone(demo.address)
    worker.page.set_viewport_size({"width": width, "height": 740})
    worker.open(SITE, BUNKER)
    found = {name: worker.page.evaluate(TOO_WIDE) for name in states(worker, points_of(SITE, BUNKER)[1])}
    assert found == {name: [] for name in found}


def states(worker, point) -> Iterator[str]:
    """Lead the page through its main states, naming each."""
    page = worker.page
    yield "start"
    worker.start()
    yield "no position"
    worker.stand(point["lat"] + 2.5e-4, point["lon"] - 3.7e-4)
    worker.expect_verdict("outside")
    yield "long figures"
    page.get_by_role("button", name="Line", exact=True).click()
    yield "line"
    for name in ("Yardage", "Outlines", "Position", None):
        page.get_by_role("button", name="More").click()
        if name:
            page.locator("dialog[open]").get_by_role("button", name=name).click()
        yield f"sheet {name or 'More'}"
        page.locator("dialog[open]").get_by_role("button", name="Back to the point").click()
    worker.context.route(
        "**/records", lambda route: route.fulfill(status=401, json={"detail": "Open the link."})
    )
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="Practise, 1 cm").click()
    worker.paint()
    expect(page.locator(".notices")).to_contain_text("did not take 1 record")
    yield "practice, a notice"
