"""Dragging a point of a 200-point outline on the drawing board, all figures live. Run with -s to see the figures.

The work of a frame is the processor time (`tdur` in Chromium's trace) of the task of the page's main thread that makes
it: the pointer's events, the edit, all figures, style, layout, paint, commit. The events come by the browser's own
input (CDP), since Playwright's mouse runs scripts of its own in the page at every move. The browser slows the
processor 4 times. Other work on the machine can only make a run slower: the quickest of a few runs counts.
"""

from __future__ import annotations

import json
import math
import statistics
import time

import pytest
from playwright.sync_api import expect

from tests.board_marks import count_of_marks, mark_of

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

SITE, HOLE = "skerry-bank", 4
POINTS, SLOWED, RUNS, WARM_UP, MOVES = 200, 4, 3, 60, 80
MOST_MS = 16.0
IDLE_MS = 4.0
"""Commits with less work than this are not of a move of the pointer."""
CATEGORIES = [
    "devtools.timeline",
    "devtools.timeline.frame",
    "disabled-by-default-devtools.timeline",
    "toplevel",
]


def outline_of_200() -> dict:
    """A wavy sand edge, near the bunkers of the hole, with something to keep clear of on either side."""
    turns = [2 * math.pi * number / POINTS for number in range(POINTS)]
    points = [
        [
            2208 + (12 + 1.2 * math.sin(5 * turn)) * math.cos(turn),
            5262 + (7 + 0.7 * math.sin(7 * turn)) * math.sin(turn),
        ]
        for turn in turns
    ]
    heights = {"level_m": None, "above_ground_m": None}
    return {"id": "sand", "part": "sand edge", "curve": "smooth", "closed": True, "points": points, **heights}


def test_a_frame_of_a_drag_takes_less_than_16_ms_at_a_quarter_of_the_speed(demo, chromium):
    context = chromium.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    address = f"{demo.address}/api/sites/{SITE}/bunkers/4-right/draft"
    draft = context.request.get(address).json()["draft"]
    body = {"draft": {**draft, "outlines": [outline_of_200()]}, "person": "Alex"}
    assert context.request.put(address, data=body, headers={"if-match": '"0"'}).ok
    page.goto(f"{demo.address}/sites/{SITE}/holes/{HOLE}/board?bunker=4-right")
    expect(page.locator("#chosen-words")).to_contain_text("No point is chosen")
    assert count_of_marks(page) == POINTS
    devtools = context.new_cdp_session(page)
    drag(page, devtools, WARM_UP)
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    runs = [measured(chromium, page, devtools) for _ in range(RUNS)]
    context.close()
    best = min(runs, key=percentile_95)
    print(
        f"\na frame of a drag: median {statistics.median(best):.1f} ms, p95 {percentile_95(best):.1f} ms of work "
        f"({len(best)} frames, {POINTS} points, processor slowed {SLOWED}x), at most {MOST_MS:.0f}; "
        f"p95 of each run {', '.join(f'{percentile_95(run):.1f}' for run in runs)}"
    )
    assert len(best) >= MOVES * 0.6
    assert percentile_95(best) < MOST_MS


def percentile_95(values: list[float]) -> float:
    return statistics.quantiles(values, n=20)[-1]


def drag(page, devtools, moves: int) -> None:
    """Take hold of a point and lead it round, by real events of the pointer."""
    perimeter = page.locator("#figures [data-figure='perimeter'] dd")
    x, y = mark_of(page, 41)
    before = perimeter.inner_text()
    pointer(devtools, "mousePressed", x, y)
    for move in range(1, moves + 1):
        pointer(devtools, "mouseMoved", x + 12 * math.sin(move / 8), y + 12 - 12 * math.cos(move / 8))
        time.sleep(0.025)
    during = perimeter.inner_text()
    pointer(devtools, "mouseReleased", x, y)
    assert during != before, "the figures follow"


def pointer(devtools, kind: str, x: float, y: float) -> None:
    """Have the browser act as if the mouse did this."""
    about = {"type": kind, "x": x, "y": y, "button": "left", "clickCount": 1, "pointerType": "mouse"}
    devtools.send("Input.dispatchMouseEvent", {**about, "buttons": 0 if kind == "mouseReleased" else 1})


def measured(chromium, page, devtools) -> list[float]:
    """Milliseconds of work of each frame while a point is dragged."""
    chromium.start_tracing(page=page, categories=CATEGORIES)
    drag(page, devtools, MOVES)
    events = json.loads(chromium.stop_tracing())["traceEvents"]
    commits = [one for one in events if one["name"] == "Commit"]
    threads = [(one["pid"], one["tid"]) for one in commits]
    thread = max(set(threads), key=threads.count)
    ends = [one["ts"] for one in commits if (one["pid"], one["tid"]) == thread]
    tasks = [
        one
        for one in events
        if one["name"] == "RunTask" and (one["pid"], one["tid"]) == thread and "tdur" in one
    ]
    work = [
        task["tdur"] / 1000
        for task in tasks
        if any(task["ts"] <= end <= task["ts"] + task["dur"] for end in ends)
    ]
    return [ms for ms in work if ms > IDLE_MS]
