"""The sound that leads to the mark, and the words a voice says."""

import pytest

pytestmark = pytest.mark.browser


def beat(ask, distance, radius=0.02, verdict="outside"):
    given = {"distanceM": distance, "radius95M": radius, "verdict": verdict}
    return ask("beats", "(m, given) => m.beatOf(given)", given)


def test_beats_quicken_all_the_way_to_the_mark(ask):
    paces = [beat(ask, metres)["everyMs"] for metres in (40, 20, 10, 5, 2, 1, 0.5, 0.2)]
    assert paces == sorted(paces, reverse=True)
    assert len(set(paces)) == len(paces)
    assert paces[-1] < 250 < 1000 < paces[0]


def test_on_the_mark_the_tone_is_another_one(ask):
    near, on = beat(ask, 0.15), beat(ask, 0.05, verdict="inside")
    assert on["toneHz"] > 1.5 * near["toneHz"]
    assert on["lengthMs"] > near["lengthMs"]


SILENT = [
    (None, 0.02, "cannot tell"),
    (4.0, None, "cannot tell"),
    (4.0, 6.5, "cannot tell"),
]


@pytest.mark.parametrize(("distance", "radius", "verdict"), SILENT)
def test_it_is_silent_when_it_cannot_tell_how_near(ask, distance, radius, verdict):
    assert beat(ask, distance, radius, verdict) is None


def test_a_rough_receiver_still_leads_from_far(ask):
    assert beat(ask, 30, 6.5)["everyMs"] > 1000


def test_an_old_position_leads_nobody(ask):
    aim = {
        "point": {"number": 1},
        "way": {},
        "place": {"radius95M": 0.02},
        "distanceM": 0.01,
        "verdict": "inside",
    }
    function = "(m, aim) => [{}, {isDoubtful: true}, {point: null}].map(c => m.beatOfAim({...aim, ...c}))"
    fresh, old, nothing = ask("beats", function, {**aim, "isDoubtful": False})
    assert fresh["toneHz"] == 1320
    assert (old, nothing) == (None, None)


SAID = [
    ("2.10 m toward the green", "2.1 metres toward the green"),
    ("1 m left", "1 metre left"),
    ("41 cm left", "41 centimetres left"),
    ("6 ft 11 in", "6 feet 11 inches"),
    ("1 ft 1 in", "1 foot 1 inch"),
    ("10 m", "10 metres"),
    ("2.00 m", "2 metres"),
    ("No new position for 7 s.", "No new position for 7 seconds."),
]


@pytest.mark.parametrize(("written", "said"), SAID)
def test_units_are_said_as_words(ask, written, said):
    assert ask("spoken", "(m, words) => m.spokenUnits(words)", written) == said


def test_strange_kept_settings_give_way_to_the_first_ones(ask):
    first = ask("aids", "m => m.aidsFrom(undefined)")
    assert first == {"sound": True, "speech": True, "buzz": True, "awake": True, "ground": "light"}
    kept = {"sound": False, "buzz": "no", "ground": "purple", "more": 1}
    assert ask("aids", "(m, kept) => m.aidsFrom(kept)", kept) == {**first, "sound": False}


def test_a_switch_says_what_the_phone_cannot_do(ask):
    able = {"sound": True, "speech": True, "buzz": False, "awake": False}
    function = "(m, able) => m.aidSwitches(m.aidsFrom(null), able, 'missing')"
    switches = {row["name"]: row for row in ask("aids", function, able)}
    assert switches["buzz"]["note"] == "this phone's browser cannot"
    assert "set the phone's screen to stay on" in switches["awake"]["note"]
