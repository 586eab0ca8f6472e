"""Every vector answered by the JavaScript twins in a real browser."""

import json
import runpy
from pathlib import Path

import pytest

WRITER = runpy.run_path(str(Path(__file__).with_name("write_vectors.py")))
ANSWER_ALL = """async ({module, cases}) => {
  const twin = await import('/phone/geometry/' + module);
  const { buildCurve } = await import('/phone/geometry/curve.js');
  return cases.map(({make, make_args, built, call, args}) => {
    const holder = make === undefined ? twin : twin[make](...make_args);
    const answer = holder[call](...(built === undefined ? [] : [buildCurve(built)]), ...args);
    return answer === undefined ? 'no answer' : answer;
  });
}"""

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("name", sorted(WRITER["CASES"]))
def test_the_twin_answers_every_vector_as_python_does(name, blank):
    document = json.loads((WRITER["VECTORS"] / f"{name}.json").read_text(encoding="utf-8"))
    answers = blank.evaluate(ANSWER_ALL, document)
    wrong = [
        f"{difference} for {case['args'][-4:]}"
        for case, answer in zip(document["cases"], answers, strict=True)
        for difference in WRITER["differences"](answer, case["want"], case["tolerance"], case["call"])
    ]
    assert wrong == []


def test_fixes_that_make_no_reading_or_trial_are_refused(blank):
    answers = blank.evaluate(
        """async () => {
          const { combine } = await import('/phone/geometry/combine.js');
          const { DEFAULT_PROCESS } = await import('/phone/geometry/process.js');
          const { trialOf } = await import('/phone/geometry/trial.js');
          const fix = (tS, x) => ({ tS, x, y: 0, sigmaM: 1, accuracyM: 2 });
          const refusal = (fixes) => {
            try {
              return combine(fixes, DEFAULT_PROCESS);
            } catch (error) {
              return error.message;
            }
          };
          return [refusal([]), refusal([fix(1, 0), fix(0, 0)]), refusal([fix(0, NaN)]),
            trialOf([fix(1, 0), fix(0, 0)], { x: 0, y: 0 }).refused];
        }"""
    )
    assert answers[0] is None
    assert "backwards" in answers[1]
    assert "no number" in answers[2]
    assert answers[3] == "out of order"


def test_the_nearest_location_lies_as_far_away_as_off_says(blank):
    """The drawn foot has no Python twin: it must agree with the off figure beside it."""
    document = json.loads((WRITER["VECTORS"] / "offset.json").read_text(encoding="utf-8"))
    for case, answer in zip(document["cases"], blank.evaluate(ANSWER_ALL, document), strict=True):
        x, y = case["args"][3:]
        foot_x, foot_y = answer["nearest"]
        assert abs(((x - foot_x) ** 2 + (y - foot_y) ** 2) ** 0.5 - abs(answer["offM"])) < 1e-6
