"""Facing: by movement when walking, by the compass when standing, and a compass that is wrong."""

import pytest

pytestmark = pytest.mark.browser

STEPS = "(m, steps) => steps.reduce((check, step) => m.compareStep(check, step), m.uncompared)"


def compared(ask, *offs, length=3.0):
    steps = [{"lengthM": length, "walkedDeg": 350, "compassDeg": (350 + off) % 360} for off in offs]
    return ask("compass_check", STEPS, steps)["offDeg"]


def test_a_steady_difference_over_enough_walking_is_a_wrong_compass(ask):
    assert compared(ask, 50, 55, 45) == pytest.approx(50, abs=0.5)
    assert compared(ask, -60, -60, -60) == pytest.approx(-60)


RIGHT = [(10, -5, 20, 0), (50, 50), (34, 34, 34, 34), (90, -90, 90, -90), (0, 120, 0, 0, 0)]


@pytest.mark.parametrize("offs", RIGHT)
def test_a_small_short_or_swaying_difference_is_none(ask, offs):
    assert compared(ask, *offs) is None


def test_a_wrong_compass_is_believed_again_when_it_agrees(ask):
    assert compared(ask, 60, 60, 60, 30, 30) is not None
    assert compared(ask, 60, 60, 60, 5, 5, 5, 5) is None


def test_the_page_says_how_far_off_and_what_to_do(ask):
    words = ask("compass_check", "m => m.compassWords({offDeg: -52.4})")
    assert words == "The compass is wrong here: 52° off. Keep the phone away from metal."


JOB = {
    "holding": None,
    "place": {"x": 0, "y": 0},
    "walk": {"bearingDeg": 90, "at": 1000},
    "compass": {
        "alpha": 350,
        "beta": 0,
        "gamma": 0,
        "webkitHeadingDeg": None,
        "screenAngleDeg": 0,
        "at": 9000,
    },
    "compassCheck": {"steps": [], "offDeg": None},
    "bundle": {"declination": {"deg": 3.0}},
}
HEADING = """(m, {job, now}) => m.headingNow({...job, frame: {trueBearingDeg: () => 12}}, now)"""


def heading(ask, now, **changes):
    return ask("heading", HEADING, {"job": {**JOB, **changes}, "now": now})


def test_who_walked_a_moment_ago_faces_where_they_went(ask):
    assert heading(ask, 3000) == {"trueDeg": 102, "words": "as you walk"}


def test_who_stands_faces_by_compass(ask):
    assert heading(ask, 9500) == {"trueDeg": pytest.approx(13), "words": "by compass"}


def test_who_holds_still_faces_by_compass_at_once(ask):
    assert heading(ask, 3000, holding={}, compass={**JOB["compass"], "at": 3000})["words"] == "by compass"


def test_without_declination_the_compass_is_called_magnetic(ask):
    assert heading(ask, 9500, bundle={"declination": None})["words"] == "by compass, magnetic"


def test_a_wrong_silent_or_missing_compass_tells_nothing(ask):
    assert heading(ask, 9500, compassCheck={"steps": [], "offDeg": 50}) is None
    assert heading(ask, 20_000) is None
    assert heading(ask, 9500, compass=None) is None
