"""What the page says when the server says no, or nothing, and how many records wait."""

import pytest

pytestmark = pytest.mark.browser

ENDED = "The link of Robin was ended; ask the manager for a new one."


def send_lines(ask, *faults):
    return ask("fault_words", "(m, faults) => m.sendFaultLines(faults)", list(faults))


@pytest.mark.parametrize("status", [401, 403])
def test_who_is_not_let_in_is_told_why_and_that_nothing_is_lost(ask, status):
    (line,) = send_lines(ask, {"status": status, "detail": ENDED, "count": 2})
    assert line == (
        f"The server did not take 2 records: {ENDED} Kept on this phone, and sent by itself once it is let in."
    )


def test_what_the_server_does_not_take_is_told_in_its_own_words(ask):
    (line,) = send_lines(ask, {"status": 503, "detail": "The disk is full.", "count": 1})
    assert line == "The server did not take 1 record: The disk is full. Kept on this phone."


def test_a_site_that_is_gone_is_said_to_be_gone(ask):
    (line,) = send_lines(ask, {"status": 404, "detail": "There is no site 'x'.", "count": 1})
    assert "its site is not on this server any more" in line
    assert line.endswith("Kept on this phone.")


def test_a_server_that_is_not_reached_is_no_alarm(ask):
    assert send_lines(ask, {"detail": "Failed to fetch", "count": 3}) == []


def test_what_the_server_refused_is_told_with_its_reason_and_kept(ask):
    words = ask("fault_words", "m => m.refusalWords([{id: 'a', detail: 'It is of another site.'}])")
    assert words == "The server could not take 1 record: It is of another site. Kept on this phone."


def test_photos_are_counted_beside_records(ask):
    words = "(m, photos) => m.sendWords({ waiting: 2, refused: [], photos })"
    assert ask("fault_words", words, 1) == "2 to send, 1 photo to send"
    assert ask("fault_words", words, 3) == "2 to send, 3 photos to send"


COUNTS = [
    ((0, 0), "all sent"),
    ((2, 0), "2 to send"),
    ((0, 1), "1 refused"),
    ((2, 1), "2 to send, 1 refused"),
]


@pytest.mark.parametrize(("counts", "words"), COUNTS)
def test_refused_records_are_told_apart_from_those_to_send(ask, counts, words):
    assert (
        ask(
            "fault_words",
            "(m, [waiting, refused = 0]) => m.sendWords({ waiting, refused: Array(refused).fill({}) })",
            list(counts),
        )
        == words
    )


def test_a_refusal_to_load_is_told_under_the_servers_own_title(ask):
    fault = {"status": 404, "title": "Not found", "detail": "There is no hole 9.", "message": "."}
    found = ask("fault_words", "(m, fault) => m.loadFaultWords(fault)", fault)
    assert found == {"title": "Not found", "words": "There is no hole 9."}


def test_without_a_server_the_page_says_that_no_plan_is_kept(ask):
    found = ask("fault_words", "m => m.loadFaultWords({message: 'Failed to fetch'})")
    assert "none is kept on this phone: Failed to fetch" in found["words"]


def test_without_signal_the_head_does_not_say_that_all_is_sent(ask):
    told = "(m, waiting) => m.sendWords({waiting, refused: []}, false)"
    assert [ask("fault_words", told, waiting) for waiting in (0, 2)] == ["no signal", "2 to send"]


@pytest.mark.parametrize(("fault", "danger"), [({"status": 401, "detail": "Ended."}, True), (None, None)])
def test_a_door_that_is_closed_is_a_notice(ask, fault, danger):
    found = ask("fault_words", "(m, fault) => m.closedDoor(fault)", fault)
    assert (found and found["danger"]) == danger
