"""How fast and how light the phone page is, on the biggest sample. Run with -s to see the figures.

'fix-figures' is from the receiver's call until the figures stand in the page; 'fix-frame' until a frame with them has
been made. The latter holds waits of the browser's own, so it is set against a page that only writes one number, in the
same run. Other work on the machine can only make a run slower, so the quickest of a few runs counts.
"""

from __future__ import annotations

import gzip
import json
import statistics

import pytest

from tests.benchmarks.quickest import runs_until

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

WARM_UP_FIXES = 25
FIXES = 50
BETWEEN_FIXES_MS = 60
RUNS = 3
SLOWED = 4
MOST_MS = 16.0
TWO_FRAMES_MS = 2 * 1000 / 60
MOST_BYTES = 150_000


@pytest.fixture(scope="module")
def biggest(demo, chromium) -> dict:
    """The sample bunker with the most paint points on its hole."""
    context = chromium.new_context()
    get = context.request.get
    found = []
    for site in get(f"{demo.address}/api/sites").json()["sites"]:
        for hole in site["holes"]:
            address = f"{demo.address}/api/sites/{site['id']}/holes/{hole['number']}/bundle"
            bundle = get(address).json()
            points = sum(len(o["points"]) for b in bundle["bunkers"] for o in b["outlines"])
            if bundle["bunkers"]:
                most = max(bundle["bunkers"], key=lambda b: sum(len(o["points"]) for o in b["outlines"]))
                found.append((points, site["id"], most["id"], bundle["frame"]["origin"]))
    context.close()
    points, site, bunker, origin = max(found)
    return {"points": points, "site": site, "bunker": bunker, "origin": origin}


def percentile_95(values: list[float]) -> float:
    return statistics.quantiles(values, n=20)[-1]


def test_a_fix_is_shown_within_a_frame_at_a_quarter_of_the_speed(demo, phone, biggest):
    worker = phone(demo.address)
    lat, lon, _ = biggest["origin"]
    _open_one_number(worker)
    bare = _quickest(worker, lat, lon)["fix-frame"]
    _open_set_out(worker, biggest)
    ours = _quickest(worker, lat, lon, lambda run: _is_quick(run, bare))
    for name, values in (*ours.items(), ("fix-frame of a page with one number", bare)):
        assert len(values) >= FIXES * 0.8, f"{name}: only {len(values)} measured"
        print(
            f"\n{name}: median {statistics.median(values):.1f} ms, p95 {percentile_95(values):.1f} ms "
            f"({len(values)} fixes, processor slowed {SLOWED}x, {biggest['points']} paint points on the hole)"
        )
    assert percentile_95(ours["fix-figures"]) < MOST_MS
    assert statistics.median(ours["fix-frame"]) - statistics.median(bare) < TWO_FRAMES_MS


def _is_quick(run: dict[str, list[float]], bare: list[float]) -> bool:
    if min(map(len, run.values())) < FIXES * 0.8 or percentile_95(run["fix-figures"]) >= MOST_MS:
        return False
    return statistics.median(run["fix-frame"]) - statistics.median(bare) < TWO_FRAMES_MS


def _quickest(worker, lat: float, lon: float, is_quick=lambda _run: False) -> dict[str, list[float]]:
    devtools = worker.context.new_cdp_session(worker.page)
    _walk(worker, lat, lon, WARM_UP_FIXES)
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    runs = runs_until(lambda: _measured(worker, lat, lon), is_quick, RUNS)
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    return {
        name: min((run[name] for run in runs if run[name]), key=percentile_95, default=[]) for name in runs[0]
    }


def _measured(worker, lat: float, lon: float) -> dict[str, list[float]]:
    worker.page.evaluate("performance.clearMeasures()")
    _walk(worker, lat, lon, FIXES)
    return worker.page.evaluate(
        "Object.fromEntries(['fix-figures', 'fix-frame']"
        ".map(n => [n, performance.getEntriesByName(n).map(m => m.duration)]))"
    )


def _walk(worker, lat: float, lon: float, steps: int) -> None:
    for step in range(steps):
        worker.stand(lat + step * 9e-6, lon + (step % 7) * 3e-6, accuracy=3.0)
        worker.page.wait_for_timeout(BETWEEN_FIXES_MS)


def _open_set_out(worker, biggest) -> None:
    worker.open(biggest["site"], biggest["bunker"])
    worker.start()


def _open_one_number(worker) -> None:
    """Open a page that only writes one number at each fix: what this browser needs for any frame at all."""
    worker.page.goto(f"{worker.address}/problems/input-error")
    worker.page.evaluate(
        """navigator.geolocation.watchPosition(p => {
            performance.mark('fix');
            document.body.textContent = p.coords.latitude;
            requestAnimationFrame(() => {
                const channel = new MessageChannel();
                channel.port1.onmessage = () => performance.measure('fix-frame', 'fix');
                channel.port2.postMessage(0);
            });
        }, () => {}, {enableHighAccuracy: true})"""
    )


def test_page_and_bundle_are_light(demo, phone, biggest):
    """Page, list of the site and bundle of its hole; what comes behind them for offline is counted apart."""
    worker = phone(demo.address)
    devtools = worker.context.new_cdp_session(worker.page)
    devtools.send("Network.enable")
    asked: dict[str, str] = {}
    received: dict[str, float] = {}
    devtools.on(
        "Network.requestWillBeSent",
        lambda event: asked.setdefault(event["requestId"], event["request"]["url"]),
    )
    devtools.on(
        "Network.loadingFinished",
        lambda event: received.update({event["requestId"]: event["encodedDataLength"]}),
    )
    worker.open(biggest["site"], biggest["bunker"])
    worker.start()
    worker.wait_until_kept()
    worker.page.wait_for_timeout(6000)
    bundles = [number for number, url in asked.items() if url.endswith("/bundle")]
    others = sum(received.get(number, 0) for number in bundles[1:])
    total = sum(received.values()) - others
    kept = _kept_by_the_worker(worker)
    print(f"\nphone page with its bundle: {total / 1000:.1f} kB compressed in {len(received)} requests")
    print(
        f"behind it: {kept / 1000:.1f} kB kept by the worker, {others / 1000:.1f} kB of other holes' bundles"
    )
    assert len(received) > 5
    assert total < MOST_BYTES


def _kept_by_the_worker(worker) -> int:
    """Bytes, compressed, of all that the worker keeps of a release."""
    get = worker.context.request.get
    kept = json.loads(
        get(f"{worker.address}/sw.js").text().partition("\n")[0].removeprefix("self.KEPT = ").rstrip(";")
    )
    answers = [get(f"{worker.address}{url}").body() for url in [*kept["files"], *kept["shells"].values()]]
    return sum(len(gzip.compress(body, 6)) for body in answers)
