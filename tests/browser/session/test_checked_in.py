"""A check-in beside the phone's clock: how old it is taken for, and when it cannot stand any more."""

import pytest

pytestmark = pytest.mark.browser

T0 = 1_800_000_000
MAKE = """
  const module = (name) => import(`/phone/${name}.js`);
  const [{ checkInOf }, { combine }, { DEFAULT_PROCESS }, placing] = await Promise.all(
    ['geometry/check_in', 'geometry/combine', 'geometry/process', 'session/placing'].map(module));
  const peg = {id: 'c1', x: 100, y: 200};
  const fix = (_, i) => ({tS: given.t0 - 59 + i, x: 103 + 0.01 * Math.sin(i), y: 200, sigmaM: 2.6});
  const fixes = Array.from({length: 60}, fix);
  const reading = combine(fixes, DEFAULT_PROCESS);
  const frame = {toGnss: (x, y) => [53 + y / 1.1e5, -5 + x / 7e4]};
  const common = {id: 'c', peg: 'c1', site: 's', on: m.whereIs(peg, frame), pageMs: given.pageMs};
  const checkIn = {...common, found: checkInOf(reading, peg, given.t0)};
  const bundle = {site: {id: 's'}, pegs: [peg]};
  const job = {gauge: {trial: null, checkIn}, frame, bundle, holding: null, sample: null};
  const sample = (afterS, pageMs = null) => ({tS: given.t0 + afterS, x: 0, y: 0, sigmaM: 2.6, speedMS: null, pageMs});
  const placed = (afterS, pageMs) => placing.placeSample(job, sample(afterS, pageMs)).place;
"""


@pytest.fixture
def told(ask):
    """What lines of JavaScript find of a check-in made at T0, 10 s after the page was opened."""

    def lines(code, page_ms=10_000):
        return ask("checked_in", f"async (m, given) => {{ {MAKE} {code} }}", {"t0": T0, "pageMs": page_ms})

    return lines


@pytest.mark.parametrize(("after_s", "fault"), [(60, None), (-1, None), (-3, "clock"), (-172_800, "clock")])
def test_a_fix_older_than_the_check_in_is_a_fault_of_the_clock(told, after_s, fault):
    assert told(f"return m.checkInFault(job, {T0 + after_s})") == fault


def test_an_age_is_never_told_as_less_than_nothing(told):
    """A mark with such an age would be refused by the server."""
    assert told("return placed(-1).checkIn.ageS") == 0


def test_with_the_clock_put_back_the_age_is_how_long_the_page_was_open(told):
    assert told("return placed(60, 10000 + 60e3).checkIn.ageS") == pytest.approx(60)
    assert told("return placed(60, 10000 + 300e3).checkIn.ageS") == pytest.approx(300)
    young, old = told("return [placed(60, 10000 + 60e3), placed(60, 10000 + 300e3)].map((p) => p.radius95M)")
    assert old > 1.05 * young
    assert told("return placed(60, 10000 + 864e5).checkIn") is None


def test_with_the_phone_asleep_the_age_is_what_its_clock_says(told):
    assert told("return placed(300, 10000 + 60e3).checkIn.ageS") == pytest.approx(300)


def test_after_a_reload_the_phones_clock_alone_counts(told, ask):
    assert told("return placed(60, 5).checkIn.ageS", page_ms=None) == pytest.approx(60)
    kept = told("return {...checkIn, pageMs: 9e9}")
    assert ask("gauge", "(m, kept) => m.gaugeFrom(null, kept).checkIn.pageMs", kept) is None


ELSEWHERE = {
    "as it was": ("job", None),
    "no peg": ("{...job, bundle: {...bundle, pegs: []}}", "plan"),
    "another peg": ("{...job, bundle: {...bundle, pegs: [{...peg, x: 100.002}]}}", "plan"),
    "another grid": ("{...job, frame: {toGnss: (x, y) => frame.toGnss(x + 0.02, y)}}", "plan"),
    "a turned grid": ("{...job, frame: {toGnss: (x, y) => frame.toGnss(x + 1e-5 * (y - 200), y)}}", "plan"),
    "nothing kept of the peg": (
        "{...job, gauge: {trial: null, checkIn: {...checkIn, on: undefined}}}",
        "plan",
    ),
    "another site": ("{...job, bundle: {...bundle, site: {id: 't'}, pegs: []}}", None),
}


@pytest.mark.parametrize("change", ELSEWHERE)
def test_a_check_in_stands_only_while_its_peg_and_the_grid_are_where_they_were(told, change):
    job, fault = ELSEWHERE[change]
    found = told(
        f"const job2 = {job}; return [m.checkInFault(job2, {T0} + 60), m.standingCheckIn(job2, {T0} + 60)]"
    )
    assert found[0] == fault
    assert (found[1] is not None) == (change == "as it was")
