"""Dragging a point of a 200-point outline on the drawing board, all figures live. Run with -s to see the figures.

The work of a frame is the processor time (Chromium's trace: `tdur` of the tasks of the page's main thread) from the commit
of the frame before to its own: the pointer's events, the edit, all figures, style, layout, paint. The processor is slowed
4 times by the browser itself. Other work on the machine can only make a run slower, so the quickest of a few runs counts.
"""

from __future__ import annotations

import json
import math
import statistics

import pytest
from playwright.sync_api import expect

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

SITE, HOLE = "skerry-bank", 4
POINTS, SLOWED, RUNS, WARM_UP, MOVES = 200, 4, 3, 60, 80
MOST_MS = 16.0
IDLE_MS = 1.0
"""Commits with less work than this are not of a move of the pointer."""
CATEGORIES = ["devtools.timeline", "disabled-by-default-devtools.timeline", "toplevel"]


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
    expect(page.locator(".board-point")).to_have_count(POINTS)
    drag(page, WARM_UP)
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    runs = [measured(chromium, page) for _ in range(RUNS)]
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


def drag(page, moves: int) -> None:
    """Take hold of a point and lead it round, by real events of the pointer."""
    perimeter = page.locator("#figures [data-figure='perimeter'] dd")
    box = page.locator("[data-at='40']:visible").last.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    before = perimeter.inner_text()
    page.mouse.move(x, y)
    page.mouse.down()
    for move in range(1, moves + 1):
        page.mouse.move(x + 12 * math.sin(move / 8), y + 12 - 12 * math.cos(move / 8))
        page.wait_for_timeout(25)
    assert perimeter.inner_text() != before, "the figures follow"
    page.mouse.up()


def measured(chromium, page) -> list[float]:
    """Milliseconds of work of each frame while a point is dragged."""
    chromium.start_tracing(page=page, categories=CATEGORIES)
    drag(page, MOVES)
    events = json.loads(chromium.stop_tracing())["traceEvents"]
    commits = [(one["pid"], one["tid"]) for one in events if one["name"] == "Commit"]
    thread = max(set(commits), key=commits.count)
    mine = [one for one in events if (one["pid"], one["tid"]) == thread]
    tasks = sorted((one["ts"], one["dur"], one["tdur"]) for one in mine if one["name"] == "RunTask" and "tdur" in one)
    ends = sorted(one["ts"] for one in mine if one["name"] == "Commit")
    return [ms for ms in frames(tasks, ends) if ms > IDLE_MS]


def frames(tasks: list[tuple[int, int, int]], ends: list[int]) -> list[float]:
    """Add up the tasks to the end of each frame, milliseconds."""
    found, work, at = [], 0, 0
    for start, length, took in tasks:
        work += took
        if at < len(ends) and ends[at] <= start + length:
            found.append(work / 1000)
            work = 0
            while at < len(ends) and ends[at] <= start + length:
                at += 1
    return found
