"""The desk pages from a narrow phone's width to a desk's, also with text twice as large: long names, a full record."""

from __future__ import annotations

import json
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from fieldapp.workflow.draft_issue import Signing, draft_to_issue, issue_draft, near_words
from fieldapp.workflow.links import end_link, links_held
from tests.bunker_drafts import save_moved
from tests.field_records import (
    batch_of,
    capture_document,
    check_in_document,
    mark_document,
    morning_document,
    peg_document,
    record_id,
    trial_document,
    yardage_document,
)

pytestmark = pytest.mark.browser

REPOSITORY = Path(__file__).parents[2]
WIDTHS = (320, 360, 412, 768, 1280)
TEXT_SIZES = ("100%", "200%")
LOOK = {
    "least": 44,
    "targets": "button, .button, summary, .bunker-index a, .jump a, input:not([type=hidden])",
    "frames": ".scroll",
}
HOST = "greenkeepers-shed.great-skerry-bank.lan"
SITE, BUNKER = "skerry-bank", "4-right"
HOLE = f"/sites/{SITE}/holes/4"
SHOT = "?offset=20&side=right&at=250&allowance=10&bunker=4-right"
FIGURES = ("reach", "carry", "along", "reach", "carry", "along")
LONG_WORD = "schoolmasterswifebeyondtheburnandthelifeboathouse"
PLAYERS = "Featherstonehaughby+262%0AKim+190%0A285;150;Robin+199.5"
PERSON = "Bartholomew Featherstonehaughby-Underwithens the younger"
CREW = "Early-morning crew of the northern links, winter programme"
LONGER = {
    "Skerry Bank (invented)": "Great Skerry Bank and Little Ebb, Northern Championship Links (invented)",
    '"Long Ebb"': '"The Long Ebb beyond the Lifeboat House"',
    '"4 right"': '"4 right, the Schoolmasterswife beyond the burn"',
    '"Back tee"': '"Championship back tee"',
}


def time_ago(minutes: int) -> str:
    moment = datetime.now(UTC) - timedelta(minutes=minutes)
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def mark(turn: int, points: dict[int, dict], number: int, **changes: object) -> dict:
    """A mark of a point of the bunker's sand edge."""
    target = {
        "bunker": BUNKER,
        "outline": "sand",
        "part": "sand edge",
        "number": number,
        "revision": changes.pop("revision", "C"),
        "x": points[number]["x"],
        "y": points[number]["y"],
    }
    common = {"site": SITE, "hole": 4, "person": PERSON, "made_at": time_ago(90 - turn)}
    return mark_document(turn, target=target, **common | changes)


def check(turn: int, **changes: object) -> dict:
    """A check of the bunker's front edge, or of another figure, or bunker."""
    target = {
        "bunker": changes.pop("bunker", BUNKER),
        "revision": changes.pop("revision", "C"),
        "tee": "4-back",
        "tee_x": 2105.0,
        "tee_y": 5040.0,
        "figure": changes.pop("figure", "reach"),
        "basis": "planned",
    }
    common = {"site": SITE, "hole": 4, "person": PERSON, "made_at": time_ago(60 - turn)}
    return yardage_document(turn, target=target, **common | changes)


def pegs_of_the_night() -> list[dict]:
    """Pegs found, moved, missing, new and planned, with notes and photos that have not come, and two mornings."""
    common = {"site": SITE, "hole": 4, "person": PERSON, "bunker": BUNKER, "note": f"behind the {LONG_WORD}"}
    place = {"x": 2190.0, "y": 5250.0, "within_m": 4.86, "placed_by": "reading"}
    states = (("r4a", "missing", {}), ("r4b", "moved", {}), ("r4c", "found", {}), ("c1", "found", {}))
    made = (("behind-the-lifeboathouse", "new", place), ("r4e", "planned", place))
    mornings = (("go on", []), ("re-set", ["r4a", "r4b", "behind-the-lifeboathouse"]))
    whose = {"site": SITE, "hole": 4, "person": PERSON, "bunker": BUNKER}
    return [
        *(
            peg_document(40 + turn, peg=peg, state=state, made_at=time_ago(50 - turn), **common, **where)
            for turn, (peg, state, where) in enumerate(states + made)
        ),
        *(
            morning_document(50 + turn, verdict=verdict, reset=reset, made_at=time_ago(10 - turn), **whose)
            for turn, (verdict, reset) in enumerate(mornings)
        ),
    ]


def capture(turn: int, points: dict[int, dict], **changes: object) -> dict:
    """The bunker's sand edge as it was sprayed, each point held still."""
    held = [
        {
            "by": "reading",
            "pegs": [],
            "distances_m": [],
            "side": "",
            "x": at["x"],
            "y": at["y"],
            "within_m": 0.4,
        }
        for at in points.values()
    ]
    common = {"site": SITE, "hole": 4, "person": PERSON, "made_at": time_ago(30 - turn), "bunker": BUNKER}
    note = "The nose was pulled out toward the lifeboat house so that the slope behind it runs in."
    told = {"revision": "C", "method": "mixed", "points": held, "note": note}
    return capture_document(turn, **common | told | changes)


def busy_day(points: dict[int, dict]) -> bytes:
    """A phone's file: marks, a point painted twice, an older revision, remarks, pegs, and a record to refuse."""
    over_peg = {"site": SITE, "hole": 4, "person": PERSON, "peg": "c1", "made_at": time_ago(0)}
    records = [
        *(mark(turn, points, turn, verdict="inside") for turn in range(1, 8)),
        mark(8, points, 3, device="phone 3", person="Kim"),
        mark(9, points, 4, revision="B"),
        mark(10, points, 12, made_at="2019-01-01T09:30:15.250Z"),
        mark(11, points, 13, hole="four, the one behind the lifeboat house"),
        check(21, settle="Hold still about 4 min more: then this receiver can tell, if the figure stays."),
        check(22, figure="offset", measured_m=-16.2, planned_m=16.46, revision="B", person="Kim"),
        *(check(turn, figure=figure, verdict="cannot tell") for turn, figure in enumerate(FIGURES, 23)),
        check(29, bunker="4-old", revision="A"),
        capture(31, points),
        capture(32, {number: points[number] for number in (1, 12, 6, 20)}),
        check_in_document(**over_peg),
        trial_document(**over_peg),
        *pegs_of_the_night(),
    ]
    return json.dumps(batch_of(*records)).encode()


def site_with_long_names(folder: Path) -> Path:
    """A copy of a sample site whose names are as long as names get."""
    shutil.copytree(REPOSITORY / "sample_sites" / SITE, folder)
    file = folder / "site.toml"
    text = file.read_text(encoding="utf-8")
    for short, long in LONGER.items():
        assert short in text
        text = text.replace(short, long)
    file.write_text(text, encoding="utf-8")
    return folder


class Desk:
    """A manager's browser at a server that holds everything the desk pages can show."""

    def __init__(self, browser: Browser, server, file: bytes) -> None:
        self.server = server
        self.file = file
        self.context: BrowserContext = browser.new_context(ignore_https_errors=True)
        self.page: Page = self.context.new_page()
        self.page.goto(f"{server.address}/trust")
        self.address = self.page.locator("a[href^=https]").first.get_attribute("href").rstrip("/")
        self.open(server.manager_link)
        self.press("Let this phone in")
        self.hand_in()

    def open(self, path: str) -> None:
        self.page.goto(self.address + path)

    def press(self, name: str) -> None:
        """Press a button that leads to another page, and wait for that."""
        with self.page.expect_navigation():
            self.page.get_by_role("button", name=name).click()

    def hand_in(self) -> None:
        """Hand in the phone's file, and one that is no such file."""
        self.open(f"/sites/{SITE}/hand-in")
        files = {f"fieldapp-records-{SITE}-2026-05-01-0930.json": self.file, "holiday-pictures.txt": b"sea"}
        self.page.get_by_label("Files from phones").set_input_files(
            [{"name": name, "mimeType": "", "buffer": content} for name, content in files.items()]
        )
        self.press("Hand in")

    def hand_in_nothing(self) -> None:
        self.open(f"/sites/{SITE}/hand-in")
        self.page.evaluate("document.querySelector('#file').required = false")
        self.press("Hand in")

    def make_link(self, devices: str = "") -> None:
        """Fill in the form for a crew and send it off."""
        self.open("/people")
        self.page.get_by_label("Name of the person or crew").fill(CREW)
        self.page.get_by_label("a crew, each").check()
        self.page.get_by_label("On how many devices").fill(devices)
        self.press("Make the link")

    def keep_clear(self, words: str) -> None:
        """The form of a thing with words in every field that cannot be."""
        self.open(f"{HOLE}/keep-clear")
        for name in ("name", "clearance", "points", "note"):
            self.page.locator(f"#{name}").fill(words)
        self.page.get_by_role("button", name="Keep it").click()
        expect(self.page.get_by_role("alert").first).to_be_visible()

    def people(self) -> None:
        """Open the people page, and all that is folded on it."""
        self.open("/people")
        self.unfold()

    def kept_plan(self) -> None:
        """Keep a plan, and open all that is folded on its page."""
        self.open(f"/sites/{SITE}/bunkers/5-waste/peg-plan")
        self.page.get_by_role("button", name="Keep this plan").click()
        self.page.get_by_role("heading", name="The plan that is kept").wait_for()
        self.unfold()

    def site(self) -> None:
        self.open(f"/sites/{SITE}")
        self.unfold()

    def checks(self) -> None:
        """Open the page of the hole at its yardage checks: one of one bunker, eight of the other."""
        self.open(f"{HOLE}#checks")
        counts = "all => all.map((frame) => frame.querySelectorAll('[data-check]').length)"
        assert self.page.locator("#checks .checks").evaluate_all(counts) == [1, 8]

    def capture(self, turn: int) -> None:
        """Open the page of a capture, and what is folded on it."""
        self.open(f"/sites/{SITE}/captures/{record_id(turn)}")
        self.unfold()

    def issue(self, revision: str = "") -> None:
        """Open the page on which a draft is issued, or send its form off with a revision it cannot have."""
        self.open(f"/sites/{SITE}/bunkers/{BUNKER}/issue")
        if revision:
            self.page.get_by_label("It becomes revision").fill(revision)
            self.page.get_by_label("Why").fill(LONG_WORD)
            self.press("Issue")
        self.unfold()

    def revisions(self, asked: str) -> None:
        self.open(f"/sites/{SITE}/bunkers/{asked}")
        self.unfold()

    def sight(self, hole: int, asked: str) -> None:
        self.open(f"/sites/{SITE}/holes/{hole}/sight?{asked}")

    def new_site(self) -> None:
        """Begin a site of a name that is taken already."""
        self.open("/sites/new")
        self.page.get_by_label("name", exact=True).fill(PERSON)
        self.page.get_by_label("short name in addresses").fill(SITE)
        self.page.get_by_role("button", name="Begin").click()
        self.page.get_by_role("alert").wait_for()

    def pegs_typed(self) -> None:
        """Type places of pegs that cannot be read."""
        self.open(f"/sites/{SITE}/edit/pegs")
        self.page.locator("#peg-0").fill(LONG_WORD)
        self.page.locator("#peg-1-earth").fill(LONG_WORD)
        self.page.get_by_role("button", name="Save").click()
        self.page.get_by_role("alert").first.wait_for()

    def board(self, asked: str) -> None:
        """Open the drawing board of the hole, and all that is folded on it."""
        self.open(f"{HOLE}/board{asked}")
        self.page.locator(".board-grid path").first.wait_for(state="attached")
        self.unfold()

    def enter(self, **of_link: object) -> None:
        self.open(self.server.link(**of_link))

    def unfold(self) -> None:
        self.page.evaluate("document.querySelectorAll('details').forEach((part) => { part.open = true; })")


PAGES: dict[str, Callable[[Desk], None]] = {
    "sites": lambda desk: desk.open("/"),
    "board of pegs": lambda desk: desk.open(f"/sites/{SITE}/pegs?hours=48"),
    "site": Desk.site,
    "hole": lambda desk: desk.open(HOLE),
    "hole, an aim line and an allowance": lambda desk: desk.open(f"{HOLE}{SHOT}"),
    "hole, its yardage checks": Desk.checks,
    "hole, what cannot be read": lambda desk: desk.open(f"{HOLE}?offset={LONG_WORD}&at=9999&allowance=lots"),
    "old against new, no list": lambda desk: desk.open(f"{HOLE}/compare"),
    "old against new, players": lambda desk: desk.open(f"{HOLE}/compare?carries={PLAYERS}&allowance=10"),
    "old against new, what cannot be read": lambda desk: desk.open(f"{HOLE}/compare?carries={LONG_WORD}"),
    "sheet": lambda desk: desk.open(f"{HOLE}/sheet?tee=4-middle&step=40&paper=letter"),
    "sheet, what cannot be read": lambda desk: desk.open(f"{HOLE}/sheet?step={LONG_WORD}"),
    "drawing board, the whole hole": lambda desk: desk.board(""),
    "drawing board, a bunker on it": lambda desk: desk.board(f"?bunker={BUNKER}"),
    "set-out sheet": lambda desk: desk.open(f"/sites/{SITE}/bunkers/{BUNKER}/set-out-sheet?paper=letter"),
    "set-out sheet, what cannot be read": lambda desk: desk.open(
        f"/sites/{SITE}/bunkers/{BUNKER}/set-out-sheet?paper={LONG_WORD}&scale=50"
    ),
    "sight": lambda desk: desk.sight(4, f"bunker={BUNKER}&eye=1.65+1.20"),
    "sight, on a condition and a value that cannot be taken": lambda desk: desk.sight(
        3, "bunker=3-pot&eye=as-tall-as-a-heron-on-the-lifeboat-house"
    ),
    "sight, cannot be told by the floor": lambda desk: desk.sight(3, "bunker=3-left"),
    "plan of pegs": lambda desk: desk.open(f"/sites/{SITE}/bunkers/{BUNKER}/peg-plan"),
    "plan of pegs, kept": Desk.kept_plan,
    "plan of pegs, what cannot be read": lambda desk: desk.open(
        f"/sites/{SITE}/bunkers/{BUNKER}/peg-plan?peg-1={LONG_WORD}&along-1={LONG_WORD}&margin=lots"
    ),
    "tie sheet": lambda desk: desk.open(f"/sites/{SITE}/bunkers/{BUNKER}/ties"),
    "base line": lambda desk: desk.open(f"/sites/{SITE}/bunkers/{BUNKER}/baseline?from=r4a&to=r4b&every=2"),
    "base line, what cannot be read": lambda desk: desk.open(
        f"/sites/{SITE}/bunkers/{BUNKER}/baseline?from={LONG_WORD}&to=r4b&every={LONG_WORD}"
    ),
    "keep clear of": lambda desk: desk.open(f"{HOLE}/keep-clear"),
    "keep clear of, one to change": lambda desk: desk.open(f"{HOLE}/keep-clear?thing=main-4"),
    "keep clear of, what cannot be read": lambda desk: desk.keep_clear(LONG_WORD),
    "capture, waits to be confirmed": lambda desk: desk.capture(31),
    "capture, whose points cross": lambda desk: desk.capture(32),
    "bring a drawing in": lambda desk: desk.open(f"/sites/{SITE}/import?hole=4"),
    "pictures to draw over": lambda desk: desk.open(f"/sites/{SITE}/backdrops"),
    "issue of a draft": Desk.issue,
    "issue of a draft, refused": lambda desk: desk.issue("C"),
    "revisions, one and a mark of an older one": lambda desk: desk.revisions(f"{BUNKER}/revisions"),
    "revisions, compared": lambda desk: desk.revisions("5-waste/revisions"),
    "revisions, what cannot be compared": lambda desk: desk.revisions(f"5-waste/revisions?old={LONG_WORD}"),
    "new site, a name that is taken": Desk.new_site,
    "site changed": lambda desk: desk.open(f"/sites/{SITE}/edit"),
    "site changed, grid": lambda desk: desk.open(f"/sites/{SITE}/edit/grid?saved=yes"),
    "site changed, a hole": lambda desk: desk.open(f"/sites/{SITE}/edit/holes/5"),
    "site changed, pegs that cannot be read": Desk.pegs_typed,
    "people": Desk.people,
    "people, a form that cannot be taken": lambda desk: desk.make_link(devices="as many as they bring"),
    "link made": Desk.make_link,
    "hand in, no file": Desk.hand_in_nothing,
    "hand in, a record and a file refused": Desk.hand_in,
    "trust": lambda desk: desk.open("/trust"),
    "enter, a person": lambda desk: desk.enter(name=PERSON, ends_at=datetime(2099, 1, 31, tzinfo=UTC)),
    "enter, a crew": lambda desk: desk.enter(name=CREW, is_crew=True),
    "enter, in already": lambda desk: desk.open(desk.server.manager_link),
    "problem, a site never loaded": lambda desk: desk.open(f"/sites/{'nowhere-at-all-' * 4}"),
    "problem, a link of no such server": lambda desk: desk.open("/enter/no-such-link"),
}


def links_of_the_past_and_present(server) -> None:
    """Links with long names: two that stand, one that was ended."""
    server.link("mark", CREW, is_crew=True, ends_at=datetime(2099, 1, 31, tzinfo=UTC))
    server.link("look", "Schoolmasterswifebeyondtheburnandthelifeboathouse")
    server.link("plan", PERSON)
    with closing(open_store(Settings(data_dir=server.data))) as store:
        end_link(store, next(link.id for link in links_held(store) if link.name == PERSON), datetime.now(UTC))


def drafts_and_an_issue(server) -> None:
    """A draft that comes too near to a drain, and one that was issued for a long reason."""
    with closing(open_store(Settings(data_dir=server.data))) as store:
        save_moved(store, SITE, BUNKER, -5.0, PERSON)
        save_moved(store, SITE, "5-waste", 0.5, PERSON)
        asked = draft_to_issue(store, SITE, "5-waste")
        told = frozenset(near_words(one, "metre") for one in asked.near)
        why = f"The {LONG_WORD} wanted it clear of the spring. " * 3
        issue_draft(store, SITE, "5-waste", Signing(1, "B", PERSON, why, told), datetime.now(UTC))


@pytest.fixture(scope="module")
def desk(tmp_path_factory, chromium, server_process, points_of) -> Iterator[Desk]:
    """A desk at work: one server by https of its own, one browser."""
    folder = tmp_path_factory.mktemp("desk")
    site, data = site_with_long_names(folder / "site"), folder / "data"
    words = [sys.executable, "-m", "fieldapp", "site", "load", str(site), "--data", str(data)]
    subprocess.run(words, cwd=REPOSITORY, capture_output=True, check=True)
    server = server_process(data, "serve", options=("--https", "--name", HOST, "--http-port", "0"))
    links_of_the_past_and_present(server)
    drafts_and_an_issue(server)
    desk = Desk(chromium, server, busy_day(points_of(SITE, BUNKER)))
    yield desk
    desk.context.close()
    server.stop(signal.SIGKILL)


def faults_at_every_size(page: Page, layout_faults: Callable[..., list[str]]) -> list[str]:
    """What is wrong with the page at each width and size of text."""
    found = []
    for text in TEXT_SIZES:
        page.evaluate("size => { document.documentElement.style.fontSize = size; }", text)
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 800})
            found += [f"{width} px, {text}: {fault}" for fault in layout_faults(page, **LOOK)]
    return found


@pytest.mark.parametrize("name", PAGES)
def test_nothing_overlaps_is_cut_or_too_small_to_touch(desk, layout_faults, name):
    PAGES[name](desk)
    assert faults_at_every_size(desk.page, layout_faults) == []


def test_on_paper_a_capture_has_nothing_to_press_or_unfold(desk):
    desk.open(f"/sites/{SITE}/captures/{record_id(31)}")
    heading, points = (
        desk.page.get_by_role("heading", name="Make it the plan"),
        desk.page.locator(".capture-points"),
    )
    expect(heading).to_be_visible()
    desk.page.emulate_media(media="print")
    expect(heading).to_be_hidden()
    expect(points).to_be_hidden()
    expect(desk.page.get_by_role("heading", name="How true it is")).to_be_visible()
    points.evaluate("(all) => { all.open = true; }")
    expect(points).to_be_visible()
    desk.page.emulate_media(media="screen")


SPOILT = {
    "page scrolls sideways": (".lead", "white-space: nowrap; width: 300vw"),
    "sticks out at the side": (".new-link", "margin-right: -60px"),
    "stick out of section.new-link": (".new-link label", "white-space: nowrap; margin-left: 60%"),
    "lies over": (".lead", "height: 0"),
    "only": (".new-link .button", "max-height: 30px; min-height: 0"),
    "cut at the foot": (".new-link label", "display: block; height: 8px; overflow: hidden"),
}


def test_the_checker_sees_what_it_is_for(desk, layout_faults):
    """A rule that never finds anything proves nothing."""
    desk.people()
    desk.page.set_viewport_size({"width": 360, "height": 800})
    put = "([selector, style]) => { document.querySelector(selector).style.cssText = style; }"
    for words, (selector, style) in SPOILT.items():
        desk.page.evaluate(put, [selector, style])
        assert any(words in fault for fault in layout_faults(desk.page, **LOOK)), words
        desk.page.evaluate(put, [selector, ""])


def test_the_checker_sees_an_address_cut_off(desk, layout_faults):
    desk.make_link()
    desk.page.evaluate("document.querySelector('textarea').style.cssText = 'field-sizing: fixed; width: 9em'")
    assert any("cut at the foot" in fault for fault in layout_faults(desk.page, **LOOK))


CHECKS_PLACES = """() => {
  const box = (one) => one.getBoundingClientRect();
  const checks = document.querySelector('#checks');
  const above = [...checks.querySelectorAll('.checks')].map(
    (frame) => box(frame).top - box(frame.previousElementSibling).bottom);
  const ends = [...checks.querySelectorAll('.remark .told > *')].map((words) => [box(words).left, box(words).right]);
  return { above, ends };
}"""


@pytest.mark.parametrize("width", [360, 1280])
def test_the_tables_of_checks_stand_apart_and_what_is_told_of_one_is_read_without_scrolling_sideways(
    desk, width
):
    desk.page.set_viewport_size({"width": width, "height": 800})
    desk.checks()
    places = desk.page.evaluate(CHECKS_PLACES)
    assert min(places["above"]) >= 16
    assert len(places["ends"]) >= 1
    assert all(left >= 0 and right <= width for left, right in places["ends"])
