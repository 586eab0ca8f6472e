"""A plan that comes while another is in hand: what it changes, and the job on it."""

import copy

import pytest

pytestmark = pytest.mark.browser

CHANGE = "(m, [before, fresh]) => m.planChange(before, fresh)"
WITH = """async (m, { before, fresh, at, own }) => {
  const jobs = await import(new URL('job.js', url));
  const { createFrame } = await import(new URL('../geometry/frame.js', url));
  const [bunkerId, frame] = [before.bunkers[0].id, createFrame(before.frame)];
  const first = jobs.createJob({ bundle: before, frame, bunkerId, person: 'Robin', device: 'd' });
  const job = m.withPlan(jobs.recount({ ...first, own, number: at }), fresh, 0);
  return { number: job.number, outline: job.outlineId, bunker: job.bunkerId, bundle: job.bundle === fresh,
    marks: job.marks.length, painted: [...jobs.paintedOf(job, job.bunkerId, job.outlineId)] };
}"""


@pytest.fixture(scope="module")
def bundle(demo, chromium) -> dict:
    context = chromium.new_context()
    found = context.request.get(f"{demo.address}/api/sites/skerry-bank/holes/4/bundle").json()
    context.close()
    return found


def changed(bundle, change) -> dict:
    fresh = copy.deepcopy(bundle)
    change(fresh)
    return fresh


def mark_of(bundle, number=3) -> dict:
    bunker = bundle["bunkers"][0]
    target = {
        "bunker": bunker["id"],
        "outline": bunker["outlines"][0]["id"],
        "number": number,
        "revision": bunker["revision"],
    }
    return {
        "id": "m1",
        "kind": "mark",
        "practice": False,
        "person": "Robin",
        "made_at": "2026-05-01T08:00:00Z",
        "target": target,
    }


def letter(fresh):
    fresh["bunkers"][0]["revision"] = "Q"


def nudge(fresh):
    fresh["bunkers"][0]["outlines"][0]["points"][0][1] += 0.01


def shift_grid(fresh):
    fresh["frame"]["x"][0] += 0.01


def shorten(fresh):
    fresh["bunkers"][0]["outlines"][0]["points"].pop()


def more_marks(fresh):
    fresh["marks"] = [{"id": "x"}]
    fresh["content_id"] = "other"
    fresh["declination"] = None


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (more_marks, None),
        (letter, {"revisions": ["Q"], "gone": []}),
        (nudge, {"revisions": [], "gone": []}),
        (shift_grid, {"revisions": [], "gone": []}),
        (shorten, {"revisions": [], "gone": []}),
    ],
)
def test_only_what_moves_points_or_bears_another_revision_is_a_change(ask, bundle, change, found):
    assert ask("fresh_plan", CHANGE, [bundle, changed(bundle, change)]) == found


def test_a_bunker_that_is_gone_is_named(ask, bundle):
    name = bundle["bunkers"][0]["name"]
    fresh = changed(bundle, lambda b: b["bunkers"].pop(0))
    assert ask("fresh_plan", CHANGE, [bundle, fresh])["gone"] == [name]


def test_a_plan_of_the_same_revision_leaves_the_target_and_the_marks(ask, bundle):
    given = {"before": bundle, "fresh": changed(bundle, more_marks), "at": 7, "own": [mark_of(bundle)]}
    job = ask("fresh_plan", WITH, given)
    assert (job["number"], job["bundle"]) == (7, True)
    assert 3 in job["painted"]


def test_on_a_new_revision_the_work_starts_anew_and_the_old_marks_stay(ask, bundle):
    job = ask(
        "fresh_plan",
        WITH,
        {"before": bundle, "fresh": changed(bundle, letter), "at": 7, "own": [mark_of(bundle)]},
    )
    assert job["number"] == 1
    assert job["painted"] == []
    assert job["marks"] == 1


def test_when_the_bunker_is_gone_the_job_goes_to_one_that_is_there(ask, bundle):
    fresh = changed(bundle, lambda b: b["bunkers"].pop(0))
    job = ask("fresh_plan", WITH, {"before": bundle, "fresh": fresh, "at": 7, "own": []})
    assert job["bunker"] == fresh["bunkers"][0]["id"]


STANDING = """async (m, { before, fresh }) => {
  const load = (name) => import(new URL(`${name}.js`, url));
  const names = ['job', 'placing', 'on_peg', 'peg_sheet', 'holding_words', 'checked_in', '../geometry/frame'];
  const [jobs, placing, pegs, sheet, words, { whereIs }, { createFrame }] = await Promise.all(names.map(load));
  const [frame, peg, bunkerId] = [createFrame(before.frame), before.pegs[0], before.bunkers[0].id];
  const [latDeg, lonDeg] = frame.toGnss(peg.x, peg.y);
  const fix = (i) => ({ latDeg: latDeg + 1e-7 * (i % 7), lonDeg, accuracyM: 4, at: 1000 * i, pageMs: null });
  const fixes = Array.from({ length: 30 }, (_, i) => fix(i));
  const fixed = (job) => fixes.reduce(jobs.withFix, job);
  const made = jobs.createJob({ bundle: before, frame, bunkerId, person: 'Robin', device: 'd' });
  const onPeg = fixed(pegs.standOnPeg(made, 'check-in', peg.id, 0));
  const { checkIn: found } = pegs.foundOnPeg(onPeg);
  const checkIn = { id: 'c', peg: peg.id, site: before.site.id, pageMs: null, on: whereIs(peg, frame), found };
  const still = fixed(placing.holdStill({ ...made, gauge: { trial: null, checkIn } }, 0));
  const [after, afterPeg] = [still, onPeg].map((job) => m.withPlan(job, fresh, 40e3));
  const plain = jobs.withFix({ ...after, gauge: made.gauge, holding: null }, fixes.at(-1)).place;
  return {
    was: [still.place.checkIn !== null, still.place.reading.fixes > 1],
    isHolding: after.holding !== null,
    isPlain: after.place.x === plain.x,
    isCheckedIn: after.place.checkIn !== null,
    movedM: after.sample.x - still.sample.x,
    walk: after.walk.from,
    remarks: words.holdingRemarks(after, 41e3),
    isOnPeg: !afterPeg.onPeg.left,
    said: sheet.pegSheetModel(afterPeg, 'check-in', { chosen: peg.id, found: null }, 41e3).outcome,
  };
}"""


def test_what_was_measured_on_another_grid_ends_and_the_last_fix_is_placed_again(ask, bundle):
    found = ask("fresh_plan", STANDING, {"before": bundle, "fresh": changed(bundle, shift_grid)})
    assert found["was"] == [True, True]
    assert found["movedM"] == pytest.approx(0.01, abs=1e-4)
    assert (found["isHolding"], found["isCheckedIn"], found["isPlain"]) == (False, False, True)
    assert found["walk"] is None
    assert found["remarks"] == ["The plan has another grid, so the reading ended."]
    assert found["isOnPeg"] is False
    assert "Nothing was kept" in found["said"][0]


def move_peg(fresh):
    fresh["pegs"][0]["x"] += 0.5


def test_a_peg_that_has_moved_ends_standing_on_it_and_its_check_in_but_no_reading(ask, bundle):
    found = ask("fresh_plan", STANDING, {"before": bundle, "fresh": changed(bundle, move_peg)})
    assert (found["isHolding"], found["isOnPeg"], found["isCheckedIn"]) == (True, False, False)


def test_on_the_same_grid_standing_goes_on(ask, bundle):
    found = ask("fresh_plan", STANDING, {"before": bundle, "fresh": changed(bundle, letter)})
    assert (found["isHolding"], found["isOnPeg"], found["isCheckedIn"]) == (True, True, True)
    assert found["movedM"] == 0
