"""A place of a site read without a plan: where it is found to be, what it is worth, and what is asked for first."""

import random
import statistics

import pytest

from fieldapp.reading.combine import combine
from fieldapp.reading.process import DEFAULT_PROCESS

pytestmark = pytest.mark.browser

LAT, LON = 57.2, -9.4
R68_IN_SIGMA = 1.5096
STAND = """(m, fixes) => {
  let state = m.withFix(m.beginReading(), fixes[0]);
  const early = m.readingModel(state, fixes[0].at);
  state = m.holdOrWalk(state, fixes[0].at);
  fixes.forEach((fix) => { state = m.withFix(state, fix); });
  const now = fixes.at(-1).at;
  const who = { site: 'heather', person: 'Robin', device: 'phone 2' };
  const record = m.placeRecord(state, { what: 'peg', hole: '', name: 'shed' }, who, { id: 'record-1', at: now });
  const [model, held] = [m.readingModel(state, now), state.holding !== null];
  return { early, model, held, record, words: m.placeWords(record) };
}"""


def fixes(count, walk_m=0.0, accuracy=4.0):
    normal = random.Random(5).gauss
    return [
        {
            "latDeg": LAT + (normal(0, 0.8) + walk_m * turn) / 111_300,
            "lonDeg": LON + normal(0, 0.8) / 60_300,
            "accuracyM": accuracy,
            "heightM": None,
            "speedMS": None,
            "at": 1_000_000 + 1000 * turn,
        }
        for turn in range(count)
    ]


def test_a_reading_is_the_mean_with_the_radius_of_the_core(ask):
    given = fixes(125)
    found = ask("place_reading", STAND, given)
    assert (found["early"]["canSave"], found["model"]["canSave"], found["model"]["share"]) == (False, True, 1)
    reading = found["record"]["reading"]
    assert reading["lat_deg"] == pytest.approx(statistics.fmean(fix["latDeg"] for fix in given), abs=1e-8)
    assert reading["lon_deg"] == pytest.approx(statistics.fmean(fix["lonDeg"] for fix in given), abs=1e-8)
    assert (reading["fixes"], reading["seconds"], reading["check_in"]) == (125, 124, None)
    assert found["record"]["hole"] == 0
    assert "reading of 125 positions" in reading["radius95_basis"]
    assert found["words"].startswith("Peg shed, within ")


def test_the_radius_is_that_of_the_core_s_own_statistics(ask):
    given = fixes(60)
    reading = ask("place_reading", STAND, given)["record"]["reading"]
    times = [fix["at"] / 1000 for fix in given]
    xy = [((fix["lonDeg"] - LON) * 60_300, (fix["latDeg"] - LAT) * 111_300) for fix in given]
    core = combine(times, xy, [4.0 / R68_IN_SIGMA] * len(given), DEFAULT_PROCESS)
    assert reading["radius95_m"] == pytest.approx(core.radius95_m, rel=0.01)


def test_who_walks_off_or_gives_no_figure_is_not_taken(ask):
    walked = ask("place_reading", STAND, fixes(40, walk_m=1.4))
    assert (walked["held"], walked["model"]["canSave"]) == (False, False)
    assert "You have moved" in walked["model"]["note"]
    silent = ask(
        "place_reading", STAND.replace("words: m.placeWords(record)", "words: ''"), fixes(40, accuracy=None)
    )
    assert silent["model"]["label"] == "How well is not known"
    assert not silent["model"]["canSave"]
    vague = ask("place_reading", STAND, fixes(40, accuracy=90))
    assert vague["model"]["note"].startswith("Too poor to take.")


def test_what_is_asked_for_before_a_place_is_kept(ask):
    tell = "(m, given) => given.map(([typed, person]) => m.placeFault(typed, person))"
    found = ask(
        "place_reading",
        tell,
        [
            [{"what": "peg", "hole": "", "name": "shed"}, ""],
            [{"what": "peg", "hole": "", "name": "shed"}, "Robin"],
            [{"what": "peg", "hole": "", "name": ""}, "Robin"],
            [{"what": "tee", "hole": "", "name": "White"}, "Robin"],
            [{"what": "turn", "hole": "4", "name": ""}, "Robin"],
            [{"what": "green", "hole": "4", "name": ""}, "Robin"],
            [{"what": "green", "hole": "four", "name": ""}, "Robin"],
            [{"what": "tee", "hole": "4", "name": "x" * 41}, "Robin"],
        ],
    )
    begins = [words and words.split(" ")[0] for words in found]
    assert begins == ["Write", None, "Give", "Give", "Give", None, "The", "A"]


def test_turning_points_count_on_and_what_is_taken_back_is_gone(ask):
    tell = """(m, given) => {
      const turn = { kind: 'place', site: 'a', what: 'turn', hole: 4, reading: { radius95_m: 2 } };
      const made = ['1', '2'].map((name, at) => ({ id: `r${at}`, name, ...turn }));
      const undo = m.takenBack({ ...made[1], person: 'x', device: 'd' }, { id: 'u', at: 0 });
      const next = (what, hole, records) => m.nextName(what, hole, records, 'a');
      const left = [...made, undo];
      return [next('turn', '4', made), next('turn', '5', made), next('turn', '4', left), next('tee', '4', made),
        m.placesRead(left, 'a').map(({ words }) => words)];
    }"""
    assert ask("place_reading", tell) == ["3", "1", "2", "", ["Turning point 1, hole 4, within 2.0 m"]]
