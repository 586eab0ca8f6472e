"""Whether a yardage check is in the record already: nothing new is known of it."""

import pytest

pytestmark = pytest.mark.browser

ASK = """(m, {place, record, ...given}) => {
  const reading = {lat_deg: 10, lon_deg: 20, radius95_m: 0.1, seconds: 30, check_in: null, ...record};
  const last = {kind: 'yardage', id: 'a', device: 'd', practice: false, made_at: '2026-05-02T10:00:30Z', reading,
    target: {bunker: 'b', revision: 'A', tee: 'back', figure: 'reach'}};
  const undo = {kind: 'undo', id: 'u', device: 'd', undoes: 'a'};
  const job = {
    bunkerId: 'b', teeId: given.tee ?? 'back', practice: null, own: given.undone ? [last, undo] : [last],
    frame: {toCourse: (lat, lon) => [lat, lon]},
    place: {x: 10, y: 20, radius95M: 0.1, checkIn: null, ...place,
      reading: {seconds: 30, timesS: [Date.parse('2026-05-02T10:00:00Z') / 1000], ...place?.reading}},
    bundle: {bunkers: [{id: 'b', revision: given.revision ?? 'A'}], frame: {ground_scale: 1}},
  };
  return m.isAgain(job, given.figure ?? 'reach');
}"""
LATER_S = 1_777_716_060.0


@pytest.mark.parametrize(
    ("given", "again"),
    [
        ({}, True),
        ({"figure": "carry"}, False),
        ({"tee": "front"}, False),
        ({"revision": "B"}, False),
        ({"undone": True}, False),
        ({"place": {"x": 10.4}}, True),
        ({"place": {"x": 10.6}}, False),
        ({"place": {"x": 14, "radius95M": 8}}, True),
        ({"place": {"x": 14}, "record": {"radius95_m": None}}, True),
        ({"place": {"reading": {"seconds": 39}}}, True),
        ({"place": {"reading": {"seconds": 41}}}, False),
        ({"place": {"reading": {"seconds": 9, "timesS": [LATER_S]}}}, True),
        ({"place": {"reading": {"seconds": 11, "timesS": [LATER_S]}}}, False),
        ({"place": {"checkIn": {"id": "c"}}}, False),
    ],
    ids=[
        "nothing new",
        "another edge",
        "another tee",
        "a newer revision",
        "taken back",
        "a sway",
        "a step",
        "a step below the radius",
        "a step below what no figure tells",
        "9 s more",
        "11 s more",
        "9 s of a new standing",
        "11 s of a new standing",
        "a check-in",
    ],
)
def test_a_check_is_saved_once_until_something_new_is_known(ask, given, again):
    assert ask("check_again", ASK, given) is again
