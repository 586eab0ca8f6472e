"""Who works at which point right now."""

import pytest

from fieldapp.server.presence import FORGOTTEN_AFTER_S, MOST_PHONES, Place, Presence

URL = "/api/sites/small-links/presence"


def body(device="device-0001", person="Ada", number=3, **changes):
    return {
        "device": device,
        "person": person,
        "hole": 1,
        "bunker": "square",
        "outline": "sand",
        "number": number,
    } | changes


def test_phones_on_a_hole_are_told_of_each_other_and_not_of_themselves(manager):
    assert manager.post(URL, json=body()).json() == {"others": []}
    (other,) = manager.post(URL, json=body("device-0002", "Bob", None)).json()["others"]
    assert other.pop("seconds") < 5
    assert other == {
        "device": "device-0001", "person": "Ada", "bunker": "square", "outline": "sand", "number": 3,
    }  # fmt: skip
    (other,) = manager.post(URL, json=body(number=4)).json()["others"]
    assert (other["person"], other["number"]) == ("Bob", None)


def test_presence_is_no_record(manager):
    manager.post(URL, json=body())
    assert manager.get("/sites/small-links/records.csv").text.count("\n") == 1


WRONG = {
    "no object": [],
    "no device": body(device=None),
    "a device of other characters": body(device="a b"),
    "a number in words": body(number="three"),
    "no outline": body(outline=""),
    "a hole in words": body(hole="one"),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_read_is_refused_in_words(manager, name):
    answer = manager.post(URL, json=WRONG[name])
    assert answer.status_code == 422
    assert answer.json()["detail"]


def test_a_hole_or_a_site_that_is_not_there_is_said_so(manager):
    assert manager.post(URL, json=body(hole=9)).status_code == 404
    assert manager.post("/api/sites/heath/presence", json=body()).status_code == 404


class Clock:
    now = 100.0

    def __call__(self):
        return self.now


def place(device, hole=1, number=1):
    return Place(device, f"name of {device}", hole, "b", "sand", number)


def names(found):
    return [other.device for other, _ in found]


def test_a_phone_not_heard_for_twenty_seconds_is_forgotten():
    presence = Presence(clock := Clock())
    presence.tell("s", place("a"))
    clock.now += FORGOTTEN_AFTER_S
    assert names(presence.tell("s", place("b"))) == ["a"]
    clock.now += 0.1
    assert names(presence.tell("s", place("b"))) == []


def test_phones_of_another_hole_or_site_are_no_company():
    presence = Presence(Clock())
    presence.tell("s", place("a", hole=2))
    presence.tell("t", place("b"))
    assert names(presence.tell("s", place("c"))) == []


def test_only_so_many_phones_are_kept():
    presence = Presence(Clock())
    for turn in range(MOST_PHONES + 50):
        presence.tell("s", place(f"phone {turn}"))
    found = names(presence.tell("s", place("last")))
    assert len(found) == MOST_PHONES - 1
    assert "phone 0" not in found
