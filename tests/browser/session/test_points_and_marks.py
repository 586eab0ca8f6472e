"""Which point comes next, which marks stand, and what a record says."""

import pytest

pytestmark = pytest.mark.browser

CLOSED = {"id": "edge", "closed": True, "length_m": 8, "points": [[n, n, 0, 2 * n - 2] for n in range(1, 5)]}
OPEN = {**CLOSED, "closed": False}
BUNKER = {"id": "b", "revision": "B", "outlines": [CLOSED]}


def next_number(ask, painted, number, outline=CLOSED):
    given = [outline, painted, number]
    return ask("choosing", "(m, [o, painted, n]) => m.nextNumber(o, new Set(painted), n)", given)


NEXT = [([], 0, 1), ([1], 1, 2), ([1, 2], 1, 3), ([2, 4], 4, 1), ([1, 2, 3, 4], 2, None)]


@pytest.mark.parametrize(("painted", "number", "following"), NEXT)
def test_the_next_point_is_the_next_unpainted_along_the_outline(ask, painted, number, following):
    assert next_number(ask, painted, number) == following


def test_the_nearest_unpainted_point_leaves_out_painted_ones(ask):
    found = ask("choosing", "(m, o) => m.nearestUnpainted(o, new Set([3]), {x: 3.1, y: 0})", CLOSED)
    assert found == 4


@pytest.mark.parametrize(("outline", "along", "number"), [(CLOSED, 7.6, 1), (OPEN, 7.6, 4), (CLOSED, 3.2, 3)])
def test_the_point_nearest_along_the_line_goes_round_the_end_of_a_closed_one(ask, outline, along, number):
    assert ask("choosing", "(m, g) => m.pointAtChainage(...g)[0]", [outline, along]) == number


def test_a_tap_takes_a_point_of_the_chosen_outline_before_a_nearer_one_of_another(ask):
    other = {**CLOSED, "id": "swale", "points": [[1, 2.1, 0, 0]]}
    bunker = {**BUNKER, "outlines": [other, CLOSED]}
    found = ask("choosing", "(m, b) => m.pointNear(b, 'edge', 2.2, 0, 0.5)", bunker)
    assert (found["outlineId"], found["number"]) == ("edge", 2)


def test_a_tap_far_from_every_point_takes_none(ask):
    assert ask("choosing", "(m, b) => m.pointNear(b, 'edge', 2.2, 3, 0.5)", BUNKER) is None


def mark(number, ident="m1", practice=False, revision="B", made_at="2026-05-01T09:00:00.000Z"):
    target = {"bunker": "b", "outline": "edge", "number": number, "revision": revision}
    return {
        "id": ident,
        "kind": "mark",
        "practice": practice,
        "person": "Moira",
        "made_at": made_at,
        "target": target,
    }


def server_mark(number, ident="s1", revision="B"):
    return {
        "id": ident,
        "bunker": "b",
        "outline": "edge",
        "number": number,
        "revision": revision,
        "practice": False,
        "person": "Ewan",
    }


def painted(ask, server=(), own=(), practice=False, start="2026-05-01T08:00:00.000Z"):
    given = {"serverMarks": list(server), "own": list(own), "practice": practice, "practiceStart": start}
    function = """(m, [given, bunker, edge]) =>
      [...m.paintedNumbers(m.standingMarks(given), bunker, edge)].sort()"""
    return ask("standing", function, [given, BUNKER, CLOSED])


def test_marks_of_others_and_own_ones_count_together(ask):
    assert painted(ask, [server_mark(1)], [mark(2)]) == [1, 2]


def test_a_mark_of_an_older_revision_does_not_count(ask):
    assert painted(ask, [server_mark(1, revision="A")], [mark(2, revision="A")]) == []


def test_an_undo_takes_back_a_mark_even_when_the_server_still_tells_of_it(ask):
    undo = {
        "id": "u1",
        "kind": "undo",
        "undoes": "s1",
        "practice": False,
        "made_at": "2026-05-01T09:01:00.000Z",
    }
    assert painted(ask, [server_mark(1)], [undo]) == []


@pytest.mark.parametrize(("device", "standing"), [("phone 2", []), ("phone 3", [2])])
def test_an_undo_counts_only_under_the_phones_id_that_the_mark_carries(ask, device, standing):
    undo = {"id": "u1", "kind": "undo", "undoes": "m1", "practice": False, "device": device}
    assert painted(ask, [server_mark(2, "m1")], [mark(2) | {"device": "phone 2"}, undo]) == standing


def test_an_undo_is_made_under_the_phones_id_that_the_mark_carries(ask):
    job = {"bundle": {"site": {"id": "s"}, "hole": {"number": 1}}, "device": "phone 3", "practice": None}
    given = [job, {"id": "m1", "device": "phone 2"}]
    record = ask("record", "(m, [job, mark]) => m.undoRecord(job, mark, {id: 'u1', at: 0})", given)
    assert (record["undoes"], record["device"]) == ("m1", "phone 2")


def test_practice_marks_never_count_as_real(ask):
    assert painted(ask, [], [mark(2, practice=True)]) == []


def test_while_practising_only_practice_marks_of_this_practice_count(ask):
    own = [mark(1, "p0", True, made_at="2026-04-30T09:00:00.000Z"), mark(2, "p1", True), mark(3, "r1")]
    assert painted(ask, [server_mark(4)], own, practice=True) == [2]


def test_a_number_the_outline_does_not_have_does_not_count(ask):
    assert painted(ask, [server_mark(9)]) == []


def test_the_mark_that_undo_takes_back_is_the_newest_own_one(ask):
    given = {"serverMarks": [server_mark(4)], "own": [mark(1, "a"), mark(2, "b")], "practice": False}
    assert ask("standing", "(m, given) => m.lastOwnMark(m.standingMarks(given)).number", given) == 2
