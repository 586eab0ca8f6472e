"""Others on the same hole: where they are, what they painted, what was painted twice."""

import pytest

pytestmark = pytest.mark.browser

OUTLINE = {"id": "edge", "closed": True, "points": [[n, n * 10, 0, n] for n in range(1, 5)]}
BUNKER = {"id": "b", "revision": "B", "outlines": [OUTLINE]}
AT_NINE = "2026-05-01T09:12:00.000Z"


def other(number, person="Alex", outline="edge", bunker="b"):
    return {"person": person, "bunker": bunker, "outline": outline, "number": number, "seconds": 1}


def mark(number, own, ident, made_at=AT_NINE, person="Alex", revision="B"):
    point = {"bunker": "b", "outline": "edge", "number": number, "revision": revision}
    return point | {"id": ident, "own": own, "made_at": made_at, "person": person}


def job(**changes):
    made = {
        "bundle": {"bunkers": [BUNKER], "hole": {"number": 4}, "site": {"id": "s"}},
        "bunkerId": "b",
        "outlineId": "edge",
        "number": 1,
        "device": "device-1",
        "person": "Robin",
        "practice": None,
        "marks": [],
        "others": [],
    }
    return made | changes


COMPANY = [
    ([], ""),
    ([other(2)], ""),
    ([other(1)], "Alex is at 1 too"),
    ([other(1), other(1, "Sam")], "Alex and Sam are at 1 too"),
    ([other(1, "")], "Somebody is at 1 too"),
    ([other(1, outline="swale")], ""),
    ([other(None)], ""),
]


@pytest.mark.parametrize(("others", "words"), COMPANY)
def test_who_is_at_the_same_point_is_named(ask, others, words):
    assert ask("company", "(m, job) => m.companyWords(job, 1)", job(others=others)) == words


def test_others_stand_in_the_picture_at_their_points(ask):
    others = [other(2), other(9), other(None), other(1, bunker="gone")]
    found = ask("company", "(m, job) => m.othersOnGround(job)", job(others=others))
    assert found == [{"x": 20, "y": 0, "name": "Alex"}]


def test_a_phone_tells_where_it_works_and_nothing_while_practising(ask):
    told = "(m, job) => m.presenceOf(job, {point: {number: 3}})"
    assert ask("company", told, job()) == {
        "device": "device-1", "person": "Robin", "hole": 4, "bunker": "b", "outline": "edge", "number": 3,
    }  # fmt: skip
    assert ask("company", told, job(practice={"grade": "phone"})) is None


def test_while_practising_nobody_else_is_there(ask):
    practising = job(practice={"grade": "phone"})
    assert ask("company", "(m, job) => m.withOthers(job, [1]).others", practising) == []


def led_on(ask, others, **changes):
    free = {"mode": "points", "byHand": None, "holding": None, "place": None} | changes
    aim = """(m, [job, others]) => m.withCompany(
        {...job, painted: new Map([['b/edge', new Set()]])}, others).number"""
    given = job(**free)
    given["bundle"] = given["bundle"] | {"frame": {"ground_scale": 1}}
    return ask("job", aim, [given, others])


def device(number, ident):
    return other(number) | {"device": ident}


def test_of_two_at_a_point_the_one_whose_device_comes_first_stays(ask):
    assert led_on(ask, [device(1, "device-0")]) == 2
    assert led_on(ask, [device(1, "device-2")]) == 1


def test_who_is_led_on_goes_past_the_points_of_others(ask):
    assert led_on(ask, [device(1, "device-0"), device(2, "device-3")]) == 3
    assert led_on(ask, [device(n, "device-0") for n in (1, 2, 3, 4)]) == 1


STAYING = [
    {"byHand": 1},
    {"holding": {"since": 0}},
    {"place": {"x": 11.4, "y": 0, "awayM": None}},
    {"mode": "line"},
]


@pytest.mark.parametrize("changes", STAYING)
def test_nobody_is_sent_from_a_point_chosen_by_hand_or_worked_at(ask, changes):
    assert led_on(ask, [device(1, "device-0")], **changes) == 1


def test_who_is_not_yet_at_the_point_is_led_on(ask):
    assert led_on(ask, [device(1, "device-0")], place={"x": 11.6, "y": 0, "awayM": None}) == 2


NEXT = [([2], [], 3), ([2, 3], [], 4), ([2, 3, 4], [], 1), ([2], [1, 3, 4], 2), ([], [], 2)]


@pytest.mark.parametrize(("others", "painted", "following"), NEXT)
def test_the_next_point_is_one_nobody_is_at_while_there_are_any(ask, others, painted, following):
    given = [job(others=[other(n) for n in others]), painted]
    aim = "(m, [job, painted]) => m.aimAtNext({...job, painted: new Map([['b/edge', new Set(painted)]])}, 1).number"
    assert ask("job", aim, given) == following


def test_the_nearest_point_is_one_nobody_is_at_while_there_are_any(ask):
    aim = """(m, job) => m.aimAtNearest({
      ...job, place: {x: 19, y: 0, awayM: null}, painted: new Map([['b/edge', new Set()]]),
    }).number"""
    assert ask("job", aim, job()) == 2
    assert ask("job", aim, job(others=[other(2)])) == 1
    assert ask("job", aim, job(others=[other(n) for n in (1, 2, 3, 4)])) == 2


def test_a_painted_point_says_by_whom_and_when(ask):
    words = "(m, mark) => m.paintedWords(mark).replace(/\\d\\d:\\d\\d/, 'TIME')"
    assert ask("company", words, mark(1, False, "x")) == "painted by Alex at TIME"
    assert ask("company", words, mark(1, True, "x")) == "painted by you at TIME"


def twice(ask, *marks, **changes):
    return ask("company", "(m, job) => m.paintedTwice(job)", job(marks=list(marks), **changes))


def test_a_point_painted_by_this_phone_and_another_is_told_once_with_both(ask):
    (found,) = twice(ask, mark(1, False, "theirs"), mark(1, True, "ours"), mark(2, True, "alone"))
    assert found["key"] == "ours theirs"
    assert found["words"].startswith("1 was painted twice: by you at ")
    assert " and by Alex at " in found["words"]


NOT_TWICE = {
    "another point": [mark(1, False, "x"), mark(2, True, "y")],
    "two others": [mark(1, False, "x"), mark(1, False, "y")],
    "the day before": [mark(1, False, "x", "2026-04-30T09:12:00.000Z"), mark(1, True, "y")],
    "an older revision": [mark(1, False, "x", revision="A"), mark(1, True, "y")],
}


@pytest.mark.parametrize("name", NOT_TWICE)
def test_what_is_no_double_painting_is_not_called_one(ask, name):
    assert twice(ask, *NOT_TWICE[name]) == []


def test_while_practising_nothing_is_painted_twice(ask):
    both = [mark(1, False, "x"), mark(1, True, "y")]
    assert twice(ask, *both, practice={"grade": "phone"}) == []
