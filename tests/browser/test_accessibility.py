"""No serious or critical fault of accessibility on any page, in any state (axe-core; contrast 7:1 on the phone's)."""

import json
from urllib.request import Request, urlopen

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.field_records import batch_of, capture_document, undo_document

SITE, BUNKER = "skerry-bank", "4-right"
HOLE = f"/sites/{SITE}/holes/4"
RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "wcag2aaa", "best-practice"],
    "rules": {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}},
    "resultTypes": ["violations"],
}
GRAVE = ("serious", "critical")
PLAIN_FRAMES = (
    "document.querySelectorAll('.scroll').forEach((frame) => { frame.style.background = 'white'; })"
)
"""Over a shaded edge, axe-core does not tell the contrast of words."""

pytestmark = pytest.mark.browser


def grave_faults(page) -> list[str]:
    """What axe-core calls serious or critical on what is on screen now."""
    found = Axe().run(page, options=RULES).response["violations"]
    return [
        f"{fault['id']}: {node['target']}"
        for fault in found
        if fault["impact"] in GRAVE
        for node in fault["nodes"]
    ]


def test_the_checker_sees_a_fault(demo, phone):
    page = phone(demo.address).page
    page.goto(demo.address)
    page.evaluate("document.querySelector('h1').style.color = '#999999'")
    assert any(fault.startswith("color-contrast") for fault in grave_faults(page))


PAGES = [
    "/",
    f"/sites/{SITE}",
    "/sites/nowhere",
    f"/sites/{SITE}/hand-in",
    f"/sites/{SITE}/pegs",
    HOLE,
    f"{HOLE}?offset=20&at=250&allowance=10&bunker=4-right",
    f"{HOLE}?offset=far",
    f"{HOLE}/compare?carries=Anna+262;Kim+190;285",
    f"{HOLE}/compare?carries=far",
    f"{HOLE}/sheet",
    f"{HOLE}/keep-clear?thing=main-4",
    f"{HOLE}/board",
    f"/sites/{SITE}/bunkers/{BUNKER}/set-out-sheet",
    f"/sites/{SITE}/bunkers/{BUNKER}/set-out-sheet?scale=50",
    f"/sites/{SITE}/holes/4/sight?bunker={BUNKER}",
    f"/sites/{SITE}/holes/3/sight?bunker=3-left&eye=tall",
    f"/sites/{SITE}/bunkers/{BUNKER}/peg-plan",
    f"/sites/{SITE}/bunkers/{BUNKER}/ties",
    f"/sites/{SITE}/bunkers/{BUNKER}/baseline?from=r4a&to=r4b",
    f"/sites/{SITE}/import?hole=4",
    f"/sites/{SITE}/backdrops",
    f"/sites/{SITE}/bunkers/{BUNKER}/revisions",
    "/sites/new",
    f"/sites/{SITE}/edit",
    f"/sites/{SITE}/edit/grid?saved=yes",
    f"/sites/{SITE}/edit/holes/5",
    f"/sites/{SITE}/edit/pegs",
    f"/sites/{SITE}/places",
    "/people",
    "/trust",
    f"/field/{SITE}",
]


POSITION_MS = 20_000
"""How long the check before leaving waits for a position."""
WIDTHS = [(path, (360, 1280)[turn % 2]) for turn, path in enumerate(PAGES)]
"""Each page at one width, in turn; test_desk_layouts looks at all of them."""


@pytest.fixture(scope="module")
def looker(demo, chromium, phone_class):
    """One browser that looks at one page after the other."""
    made = phone_class(chromium, demo.address)
    yield made
    made.context.close()


@pytest.mark.parametrize(("path", "width"), WIDTHS)
def test_pages_of_the_desk_and_the_yard(looker, path, width):
    page = looker.page
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(f"{looker.address}{path}")
    page.evaluate(PLAIN_FRAMES)
    assert grave_faults(page) == []
    assert looker.faults() == []


@pytest.fixture
def captured(demo, points_of):
    """The path of an outline as sprayed, which waits to be confirmed; taken back in the end."""
    held = {"by": "reading", "pegs": [], "distances_m": [], "side": "", "within_m": 0.4}
    points = [held | {"x": at["x"], "y": at["y"]} for at in points_of(SITE, BUNKER).values()]
    named = {"site": SITE, "hole": 4, "bunker": BUNKER, "revision": "C", "method": "mixed", "points": points}
    document = capture_document(3777, **named)
    _send(demo, document)
    yield f"/sites/{SITE}/captures/{document['id']}"
    _send(demo, undo_document(document, 3778))


def _send(demo, document):
    url = f"{demo.address}/api/sites/{SITE}/records"
    body = json.dumps(batch_of(document)).encode()
    with urlopen(Request(url, body, {"content-type": "application/json"})) as answer:
        assert json.load(answer)["stored"] == [document["id"]]


def test_the_page_of_an_outline_as_sprayed(demo, phone, captured):
    page = phone(demo.address).page
    for width in (360, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        page.goto(f"{demo.address}{captured}")
        expect(page.get_by_label("Your name")).to_be_visible()
        page.locator(".capture-points summary").click()
        page.evaluate(PLAIN_FRAMES)
        assert grave_faults(page) == []


def test_the_page_that_lets_a_phone_in(demo, phone):
    page = phone(demo.address).page
    page.goto(demo.address + demo.link())
    assert grave_faults(page) == []


def test_the_check_before_leaving_the_yard(demo, phone):
    page = phone(demo.address).page
    page.clock.install()
    page.goto(f"{demo.address}/field/{SITE}")
    page.get_by_role("button", name="Get ready for the field").click()
    expect(page.locator(".ready-row[data-state=checking]")).to_have_count(1, timeout=20_000)
    page.clock.fast_forward(POSITION_MS)
    expect(
        page.get_by_text("Ready for the field", exact=True).or_(page.get_by_text("Not ready"))
    ).to_be_visible(timeout=30_000)
    assert grave_faults(page) == []


def test_the_set_out_page_in_its_states(demo, phone, points_of):
    worker = phone(demo.address)
    page = worker.page
    point = points_of(SITE, BUNKER)[1]
    found = {}
    worker.open(SITE, BUNKER)
    found["start"] = grave_faults(page)
    worker.start()
    found["no fix"] = grave_faults(page)
    worker.stand(point["lat"] + 2e-4, point["lon"], accuracy=6)
    worker.expect_verdict("outside")
    found["on the way"] = grave_faults(page)
    worker.stand(point["lat"], point["lon"], accuracy=6)
    worker.expect_verdict("cannot tell")
    found["poor fix"] = grave_faults(page)
    worker.stand(point["lat"], point["lon"], accuracy=0.01)
    worker.expect_verdict("inside")
    found["on the mark"] = grave_faults(page)
    worker.context.set_offline(True)
    worker.paint()
    found["offline"] = grave_faults(page)
    worker.context.set_offline(False)
    for name in (
        "Yardage",
        "Check an edge",
        "Outlines",
        "Position",
        "Check in on a peg",
        "Receiver trial",
        None,
    ):
        page.get_by_role("button", name="More").click()
        if name:
            page.locator("dialog[open]").get_by_role("button", name=name).click()
        found[f"sheet {name or 'More'}"] = grave_faults(page)
        page.locator("dialog[open]").get_by_role("button", name="Back to the point").click()
    expect(worker.sent).to_have_text("all sent")
    assert found == {name: [] for name in found}


def test_the_yardage_check_in_its_states(demo, phone, points_of):
    worker = phone(demo.address)
    page = worker.page
    points = points_of("quandary-strait", "12-corner")
    worker.open("quandary-strait", "12-corner")
    worker.start()
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="Check an edge").click()
    sheet, found = page.locator("dialog[open]"), {}
    strip = sheet.locator(".check-verdict")
    found["no fix"] = grave_faults(page)
    lat = sum(point["lat"] for point in points.values()) / len(points)
    lon = sum(point["lon"] for point in points.values()) / len(points)
    sheet.get_by_role("button", name="Middle", exact=True).click()
    for ground in ("sun", "dusk"):
        page.evaluate("ground => { document.documentElement.dataset.ground = ground; }", ground)
        for what, at, accuracy, kind in (
            ("poor fix", lat, 6, "cannot tell"),
            ("agrees", lat, 0.01, "inside"),
            ("differs", lat + 2e-4, 0.01, "outside"),
        ):
            worker.stand(at, lon, accuracy)
            expect(strip).to_have_attribute("data-verdict", kind)
            found[f"{ground}, {what}"] = grave_faults(page)
    sheet.get_by_role("button", name="Save check").click()
    expect(sheet.locator(".check-told")).to_contain_text("Saved on this phone")
    found["saved"] = grave_faults(page)
    assert found == {name: [] for name in found}
