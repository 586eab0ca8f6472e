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
  const job = m.withPlan(jobs.recount({ ...first, own, number: at }), fresh);
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
