"""How long all figures of a draft take while a point is dragged, the processor slowed. Run with -s to see the figures.

A drag moves a point of an outline of 200, or all of a bunker's, and asks for every figure: measures, play, five things
to keep clear of and six pegs. Other work on the machine can only make a run slower, so the quickest of some short
drags counts.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.benchmarks.quickest import runs_until

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

WEB = Path(__file__).parents[2] / "web"
ORIGIN = "http://draft.test"
SLOWED, RUNS = 4, 15
MOST_MS, MOST_OF_THREE_MS = 5.0, 12.0
DRAG = """async ({outlines, moved, count, warm}) => {
  const { createFigures } = await import('/desk/draft/figures.js');
  const { movePoints } = await import('/desk/draft/edits.js');
  const { moveBunker } = await import('/desk/draft/whole.js');
  const ring = (x, y) => Array.from({length: 200}, (_, i) => {
    const t = (2 * Math.PI * i) / 200;
    return [x + 9 * Math.cos(t) * (1 + 0.05 * Math.sin(7 * t)), y - 6 * Math.sin(t) * (1 + 0.05 * Math.sin(5 * t))];
  });
  const outline = (_, k) => ({id: `o${k}`, part: k === 0 ? 'sand edge' : 'mound foot', curve: 'smooth', closed: true,
    points: ring(60 + 25 * k, 240), level_m: null, above_ground_m: null});
  const chain = (k) => Array.from({length: 6}, (_, i) => [50 + i * 7, 251 + k * 3 + Math.sin(i)]);
  const board = {ground_scale: 1.0003, tees: [{id: 't', x: 0, y: 0, line: [[0, 0], [20, 200], [100, 400]]}],
    pegs: [1, 2, 3, 4, 5, 6].map((k) => ({id: `p${k}`, x: 40 + 7 * k, y: 250 - k})),
    keep_clear: [0, 1, 2, 3, 4].map((k) => ({id: `k${k}`, kind: 'drain', name: 'Drain', extent: k < 3 ? 'line' : 'area',
      points: chain(k), clearance_m: 2, is_service: true}))};
  const figuresOf = createFigures(board);
  let doc = {outlines: Array.from({length: outlines}, outline), bunker: {}, plan: null};
  const times = [];
  let seen = figuresOf(doc, 't');
  const first = seen.perimeter_m + seen.along_m;
  for (let step = 0; step < count + warm; step += 1) {
    const start = performance.now();
    doc = moved === 'all' ? moveBunker(doc, 0.01, 0.02) : movePoints(doc, 'o0', [step % 200], 0.01, 0.02);
    seen = figuresOf(doc, 't');
    times.push(performance.now() - start);
  }
  const changed = Math.abs(seen.perimeter_m + seen.along_m - first);
  return {times: times.slice(warm), changed, figures: seen.clearances.length};
}"""


@pytest.fixture(scope="module")
def slow(chromium):
    """A page that holds nothing but the modules, and a function that sets how slow its processor is."""
    page = chromium.new_page()

    def answer(route):
        wanted = WEB / route.request.url.removeprefix(ORIGIN).lstrip("/")
        if wanted.is_file():
            route.fulfill(path=wanted, content_type="text/javascript")
        else:
            route.fulfill(body="<!doctype html><title>blank</title>", content_type="text/html")

    page.route(f"{ORIGIN}/**", answer)
    page.goto(f"{ORIGIN}/blank")
    devtools = page.context.new_cdp_session(page)
    yield page, lambda rate: devtools.send("Emulation.setCPUThrottlingRate", {"rate": rate})
    page.close()


@pytest.mark.parametrize(("outlines", "moved"), [(1, "one"), (1, "all"), (3, "one"), (3, "all")], ids=str)
def test_all_figures_of_a_dragged_outline_leave_most_of_a_frame(slow, outlines, moved):
    page, slow_by = slow
    slow_by(SLOWED)
    given = {"outlines": outlines, "moved": moved, "count": 30, "warm": 20}
    most_ms = MOST_OF_THREE_MS if (outlines, moved) == (3, "all") else MOST_MS
    runs = runs_until(lambda: page.evaluate(DRAG, given), lambda run: middle_and_p95(run)[1] < most_ms, RUNS)
    slow_by(1)
    assert all(run["changed"] > 1e-4 and run["figures"] == 5 for run in runs), json.dumps(runs[0]["changed"])
    median, p95 = min((middle_and_p95(run) for run in runs), key=lambda found: found[1])
    print(
        f"\nfigures of a draft, {outlines} x 200 points, {moved} moved: median {median:.2f} ms, p95 {p95:.2f} ms "
        f"(processor slowed {SLOWED}x)"
    )
    assert p95 < most_ms


def middle_and_p95(run):
    times = sorted(run["times"])
    return times[len(times) // 2], times[int(0.95 * len(times))]
