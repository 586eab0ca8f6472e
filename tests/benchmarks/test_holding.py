"""What a fix costs while somebody has held still for ten minutes with a check-in: well under a frame. Run with -s."""

from __future__ import annotations

import statistics

import pytest

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

SLOWED = 4
MOST_MS = 12.0
MEASURE = """async (bundleUrl) => {
  const base = new URL('../phone/', document.querySelector('link[rel=stylesheet]').href);
  const load = (name) => import(new URL(name, base));
  const names = ['session/job.js', 'session/placing.js', 'session/checked_in.js', 'geometry/frame.js',
    'session/check_here.js', 'session/check_plan.js'];
  const [jobs, placing, checkedIn, frames, checks, plans] = await Promise.all(names.map(load));
  const bundle = await (await fetch(bundleUrl)).json();
  Object.assign(bundle.hole, { grid_within_m: 0, grid_unknown: null });
  const frame = frames.createFrame(bundle.frame);
  let state = 7;
  const noise = () => { state = (state * 16807) % 2147483647; return (state / 2147483647 - 0.5) * 4e-5; };
  const [lat, lon] = bundle.frame.origin;
  const fix = (s) => ({latDeg: lat + noise(), lonDeg: lon + noise(), accuracyM: 4, heightM: 80, at: 1e12 + s * 1000});
  const keptS = Array.from({length: 60}, (_, i) => 1e9 - 100 + i);
  const found = {shiftX: 1, shiftY: 1, madeAtS: 1e9 - 40, sigmaM: 2.65, radius95M: 5, keptS};
  const on = checkedIn.whereIs(bundle.pegs.find(({id}) => id === 'c1'), frame);
  const checkIn = {id: 'c', peg: 'c1', site: bundle.site.id, on, found};
  let job = jobs.createJob({bundle, frame, bunkerId: bundle.bunkers[0].id, person: 'P', device: 'd'});
  job = {...placing.holdStill(job, 1e12), gauge: {trial: null, checkIn}};
  const took = [];
  for (let s = 0; s < 590; s += 1) {
    const from = performance.now();
    job = jobs.withFix(job, fix(s));
    if (s >= 490) took.push(performance.now() - from);
  }
  const checked = [true, false].map((helped) => {
    const place = {...job.place, ...plans.drawnPlace(job, 'reach'), checkIn: helped ? job.place.checkIn : null};
    const now = {...job, place};
    return Array.from({length: 40}, () => {
      const from = performance.now();
      const {kind} = checks.checkHere(now, 'reach').settling;
      if (kind !== 'better receiver') throw new Error(`an hour was not looked through: ${kind}`);
      return performance.now() - from;
    });
  });
  return {took, checked, fixes: job.holding.fixes.length, checkedIn: job.place.checkIn !== null};
}"""


@pytest.fixture(scope="module")
def measure(demo, chromium, phone_class):
    """Three runs of MEASURE on a phone page whose processor is slowed."""
    worker = phone_class(chromium, demo.address)
    worker.open("skerry-bank", "4-right")
    devtools = worker.context.new_cdp_session(worker.page)
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    runs = [worker.page.evaluate(MEASURE, "/api/sites/skerry-bank/holes/4/bundle") for _ in range(3)]
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    assert all(run["fixes"] == 590 and run["checkedIn"] for run in runs)
    assert worker.faults() == []
    worker.context.close()
    return runs


def p95_of(took):
    return statistics.quantiles(took, n=20)[-1]


def test_a_fix_after_ten_minutes_of_holding_still_leaves_room_in_its_frame(measure):
    best = min((run["took"] for run in measure), key=p95_of)
    print(
        f"\na fix with 500 to 590 held and a check-in: median {statistics.median(best):.1f} ms, "
        f"p95 {p95_of(best):.1f} ms (processor slowed {SLOWED}x)"
    )
    assert p95_of(best) < MOST_MS


@pytest.mark.parametrize(("index", "what"), [(0, "with a check-in"), (1, "without one")])
def test_a_yardage_check_that_looks_for_what_would_settle_it_leaves_room_in_its_frame(measure, index, what):
    best = min((run["checked"][index] for run in measure), key=p95_of)
    print(
        f"\na yardage check {what}: median {statistics.median(best):.1f} ms, "
        f"p95 {p95_of(best):.1f} ms (processor slowed {SLOWED}x)"
    )
    assert p95_of(best) < MOST_MS
