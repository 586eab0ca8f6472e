"""Holding still: a reading that grows, somebody who walks off it, and when longer gains little."""

import math
import random
import statistics

import pytest

pytestmark = pytest.mark.browser

# (share of the variance, time constant): as of a phone whose trial is known
SHORT = {"parts": [[0.1, 0], [0.9, 30]], "spread": 1}
HOLD = """async (m, {fixes, process}) => {
  let holding = m.beginHolding(0);
  let at = null;
  for (const [i, fix] of fixes.entries()) {
    holding = m.holdOn(holding, fix, process);
    if (holding.left) { at = i; break; }
  }
  return {at, count: holding.fixes.length, gapS: holding.gapS, reading: holding.reading};
}"""


def noise(count, sigma=2.65, tau=30.0, start=3, every_s=1.0):
    """Fixes a second apart at 0, 0 with 10 % white and 90 % first-order Gauss-Markov noise."""
    normal = random.Random(start).gauss
    kept = math.exp(-every_s / tau)
    slow = [normal(0, sigma * math.sqrt(0.9)) for _ in "xy"]
    fixes = []
    for i in range(count):
        x, y = (value + normal(0, sigma * math.sqrt(0.1)) for value in slow)
        fixes.append({"tS": 1000 + i * every_s, "x": x, "y": y, "sigmaM": sigma, "speedMS": None})
        step = sigma * math.sqrt(0.9 * (1 - kept * kept))
        slow = [value * kept + normal(0, step) for value in slow]
    return fixes


def hold(ask, fixes, process=SHORT):
    return ask("holding", HOLD, {"fixes": fixes, "process": process})


def test_a_reading_shrinks_with_the_time_stood_but_never_as_plain_averaging_would(ask):
    short, long = (hold(ask, noise(count))["reading"] for count in (10, 300))
    assert long["radius95M"] < 0.6 * short["radius95M"]
    assert long["radius95M"] > 3 * long["plainRadius95M"]


def test_who_stands_is_not_called_a_walker(ask):
    ended = [hold(ask, noise(120, start=start))["at"] for start in range(40)]
    assert sum(at is not None for at in ended) <= 2


def test_who_walks_off_is_noticed_within_a_few_steps(ask):
    """At walking pace, with a receiver whose 95 % radius is 6.5 m."""
    gone = []
    for start in range(15):
        fixes = noise(60, start=start)
        for step, fix in enumerate(fixes[40:], 1):
            fix["x"] += 1.3 * step
        at = hold(ask, fixes)["at"]
        assert at is not None
        gone.append(1.3 * (at - 39))
    assert statistics.median(gone) < 10
    assert max(gone) < 17


def test_one_wild_position_does_not_end_a_reading_and_is_left_out(ask):
    fixes = noise(60)
    fixes[30]["x"] += 80
    found = hold(ask, fixes)
    assert found["at"] is None
    assert found["reading"]["leftOut"] == 1


def test_a_walking_pace_of_the_receiver_ends_a_reading(ask):
    fixes = noise(30)
    for fix in fixes[20:]:
        fix["speedMS"] = 1.2
    assert hold(ask, fixes)["at"] == 21


def test_a_repeated_position_counts_once(ask):
    fixes = [{**noise(1)[0], "tS": 1000 + i} for i in range(20)]
    assert hold(ask, fixes)["count"] == 1


def test_a_long_reading_keeps_at_most_600_fixes_and_goes_on(ask):
    found = hold(ask, noise(1500, sigma=0.5, start=8, every_s=0.5))
    assert found["count"] <= 600
    assert found["gapS"] > 0.4
    assert found["at"] is None
    assert found["reading"]["seconds"] > 700


LITTLE = [
    ([[1, 0]], 60, False),
    ([[1, 0]], 900, True),
    ([[0.1, 0], [0.35, 60], [0.55, 1800]], 10, False),
    ([[0.1, 0], [0.35, 60], [0.55, 1800]], 90, True),
]


@pytest.mark.parametrize(("parts", "seconds", "little"), LITTLE)
def test_longer_gains_little_once_the_slow_error_is_reached(ask, parts, seconds, little):
    given = {"seconds": seconds, "process": {"parts": parts, "spread": 1}}
    assert ask("holding", "(m, g) => m.gainsLittle(g.seconds, g.process)", given) is little


def test_with_the_clock_put_back_a_reading_begins_anew_and_who_walks_off_is_still_noticed(ask):
    before = noise(20, sigma=0.05)
    after = [{**fix, "tS": fix["tS"] - 3600} for fix in noise(10, sigma=0.05, start=4)]
    anew = hold(ask, before + after)
    assert (anew["at"], anew["count"]) == (None, 10)
    assert 8 <= anew["reading"]["seconds"] <= 10
    walking = [{**fix, "x": fix["x"] + 1.0 * i, "speedMS": 1.3} for i, fix in enumerate(after)]
    assert 20 < hold(ask, before + walking)["at"] <= 23


def test_the_page_says_for_a_while_that_the_clock_was_changed(ask):
    code = """async (m, {fixes, process}) => {
      const { holdOn, beginHolding } = await import(new URL('holding.js', url));
      const holding = fixes.reduce((held, fix) => holdOn(held, fix, process), beginHolding(1e6));
      const job = {holding, heldEnd: null, gauge: {trial: null, checkIn: null}, compassCheck: {offDeg: null}};
      return [1, 20].map((s) => m.holdingRemarks(job, holding.since + 1000 * s)[0]);
    }"""
    fixes = [*noise(20), *({**fix, "tS": fix["tS"] - 60} for fix in noise(4, start=4))]
    soon, later = ask("holding_words", code, {"fixes": fixes, "process": SHORT})
    assert soon.startswith(
        "This phone's clock was changed, so it began anew. Holding still, 1 s, 4 positions"
    )
    assert later.startswith("Holding still, 20 s")


ON_PEG = """async (m, {samples}) => {
  const peg = {id: 'c1', x: 0, y: 0, kind: 'control', note: ''};
  const job = {bundle: {pegs: [peg]}, gauge: {trial: null, checkIn: null}};
  const start = m.standOnPeg(job, 'check-in', 'c1', 1e6);
  const { onPeg } = samples.reduce((held, sample) => ({...held, onPeg: m.onPegWith(held, sample)}), start);
  return {count: onPeg.samples.length, stoodS: m.stoodS(onPeg), left: onPeg.left, isAnew: onPeg.isAnew};
}"""


def test_with_the_clock_put_back_a_standing_on_a_peg_begins_anew(ask):
    after = [{**fix, "tS": fix["tS"] - 60} for fix in noise(10, sigma=0.05, start=4)]
    found = ask("on_peg", ON_PEG, {"samples": noise(20, sigma=0.05) + after})
    assert found == {"count": 10, "stoodS": 9, "left": False, "isAnew": True}
    for i, fix in enumerate(after):
        fix["x"] += 5.0 * i
    assert ask("on_peg", ON_PEG, {"samples": noise(20, sigma=0.05) + after})["left"]
