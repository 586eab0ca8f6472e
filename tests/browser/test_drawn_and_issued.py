"""From nothing to paint: a bunker is begun on the drawing board, issued, and stands on the site and on the phones."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

SITE = "/sites/skerry-bank"


@pytest.fixture
def desk(phone, demo):
    """A browser at the demo server's desk pages."""
    page = phone(demo.address).page
    page.set_viewport_size({"width": 1280, "height": 800})
    return page


def test_a_bunker_begun_on_the_board_is_issued_and_stands(desk, demo):
    desk.goto(f"{demo.address}{SITE}/holes/4/board")
    desk.locator("#begin-name").fill("4 nose")
    desk.locator("#begin-shape").select_option("kidney")
    for key, typed in (("length", "12yd"), ("width", "7yd"), ("waist", "1")):
        desk.locator(f"#begin-{key}").fill(typed)
    held, asked = [], re.compile(r"/api/sites/[^/]+/holes/4/board$")
    desk.route(asked, lambda route: held.append(route))
    desk.get_by_role("button", name="Begin it").click()
    desk.wait_for_url(re.compile(r"\?bunker="))
    desk.get_by_label("who draws").fill("Alex")
    for route in held:
        route.continue_()
    desk.unroute(asked)
    for key, typed in (("length", "262"), ("offset", "18"), ("slant", "35")):
        desk.locator(f"#place-{key}").fill(typed)
    desk.get_by_role("button", name="Place it there").click()
    desk.get_by_text("One more outline").click()
    desk.locator("#offset-by").fill("2yd")
    desk.locator("#offset-part").select_option("mound foot")
    desk.locator("#offset").click()
    expect(desk.locator("#undo")).to_have_text("Undo: draw the mound foot")
    expect(desk.locator("#post-sign")).to_have_attribute("data-post", "saved", timeout=20_000)

    desk.route(
        "**/draft", lambda route: route.abort() if route.request.method == "PUT" else route.continue_()
    )
    desk.locator("#place-offset").fill("19")
    desk.get_by_role("button", name="Place it there").click()
    desk.get_by_role("link", name="Issue a revision").click()
    expect(desk.locator("#ways-fault")).to_contain_text("What you drew last is not on the server yet")
    assert "/board" in desk.url
    board = desk.url
    desk.goto(f"{demo.address}{SITE}/bunkers/4-nose/issue")
    expect(desk.locator("#unsent")).to_be_visible()
    expect(desk.locator("main")).not_to_contain_text("19.0 yd right")
    desk.unroute("**/draft")
    desk.goto(board)
    expect(desk.locator("#post-sign")).to_have_attribute("data-post", "saved", timeout=20_000)
    with desk.expect_response("**/desk/unsent.js"):
        desk.get_by_role("link", name="Issue a revision").click()
    desk.wait_for_url(re.compile("/issue"))
    expect(desk.locator("main")).to_contain_text("19.0 yd right")
    desk.wait_for_timeout(500)
    expect(desk.locator("#unsent")).to_be_hidden()
    for tick in desk.locator("input[type=checkbox]").all():
        tick.check()
    desk.get_by_label("Your name").fill("Alex")
    desk.get_by_label("Why").fill("The walk with the committee.")
    desk.get_by_role("button", name="Issue", exact=True).click()
    desk.wait_for_url(re.compile("revisions|#bunker-4-nose"))
    bundle = desk.request.get(f"{demo.address}/api{SITE}/holes/4/bundle").json()
    (nose,) = [bunker for bunker in bundle["bunkers"] if bunker["id"] == "4-nose"]
    assert nose["revision"] == "A"
    assert [outline["part"] for outline in nose["outlines"]] == ["sand edge", "mound foot"]
