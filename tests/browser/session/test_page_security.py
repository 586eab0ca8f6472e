"""What the page says where the browser does not give it everything."""

import pytest

pytestmark = pytest.mark.browser

FINE = {
    "isSecure": True,
    "protocol": "https:",
    "host": "course.lan:8000",
    "workerFault": None,
    "trustUrl": "/trust",
}
CLICKED_THROUGH = {
    "name": "SecurityError",
    "message": "Failed to register a ServiceWorker for scope ('https://course.lan/') with script "
    "('https://course.lan/sw.js'): An SSL certificate error occurred when fetching the script.",
}


def words(ask, **changes):
    return ask("page_security", "(m, given) => m.pageSecurityWords(given)", FINE | changes)


def test_a_page_that_lacks_nothing_says_nothing(ask):
    assert words(ask) is None


def test_on_the_serving_machine_itself_plain_http_lacks_nothing(ask):
    assert words(ask, protocol="http:", host="localhost:8000") is None


def test_plain_http_says_what_does_not_work_what_still_does_and_what_to_do(ask):
    said = words(ask, isSecure=False, protocol="http:", host="192.168.1.50:8000")
    assert "plain http, from 192.168.1.50:8000" in said
    assert "no position and no compass" in said
    assert "keeps nothing for where there is no signal" in said
    assert "You can still practise" in said
    assert "ask whoever runs this server for its https address" in said


def test_plain_http_is_told_before_a_worker_that_cannot_be_there(ask):
    fault = {"name": "TypeError", "message": "no such interface"}
    assert "plain http" in words(ask, isSecure=False, protocol="http:", workerFault=fault)


def test_an_insecure_page_by_another_way_is_not_called_plain_http(ask):
    said = words(ask, isSecure=False, protocol="https:")
    assert "plain http" not in said
    assert "does not trust" in said


MODULE_WORKER = CLICKED_THROUGH | {
    "message": "Failed to register a ServiceWorker: An unknown error occurred when fetching the script."
}


@pytest.mark.parametrize("fault", [CLICKED_THROUGH, MODULE_WORKER], ids=["classic", "module"])
def test_a_warning_tapped_away_is_named_with_the_page_that_cures_it(ask, fault):
    said = words(ask, workerFault=fault, trustUrl="/course/trust")
    assert "a warning was tapped away" in said
    assert "The position works, but nothing is kept" in said
    assert "open https://course.lan:8000/course/trust, follow its steps" in said


@pytest.mark.parametrize(
    "fault",
    [
        {"name": "SecurityError", "message": "The operation is insecure."},
        {"name": "TypeError", "message": "An unknown error occurred when fetching the script."},
        {"name": "", "message": "The worker was not ready in time."},
    ],
    ids=str,
)
def test_a_worker_that_fails_otherwise_is_no_matter_of_trust(ask, fault):
    said = words(ask, workerFault=fault)
    assert "could not keep the page" in said
    assert "trust" not in said
    assert fault["message"] in said


def test_what_is_said_stands_on_the_start_panel(ask):
    job = {
        "bundle": {
            "site": {"name": "S", "notes": ["A note."]},
            "hole": {"number": 4},
            "bunkers": [{"id": "b", "name": "B", "revision": "A"}],
        },
        "bunkerId": "b",
        "person": "Ada",
    }
    for security, warnings in ((FINE, 1), (FINE | {"workerFault": CLICKED_THROUGH}, 2)):
        model = ask("sheets", "(m, [job, security]) => m.startModel(job, security)", [job, security])
        assert len(model["warnings"]) == warnings
        assert model["warnings"][-1] == "A note."


@pytest.mark.parametrize("is_apple_tab", [True, False])
def test_a_tab_on_an_iphone_asks_for_the_home_screen_on_the_start_panel(ask, is_apple_tab):
    job = {
        "bundle": {
            "site": {"name": "S", "notes": []},
            "hole": {"number": 4},
            "bunkers": [{"id": "b", "name": "B", "revision": "A"}],
        },
        "bunkerId": "b",
        "person": "Ada",
    }
    given = [job, FINE, is_apple_tab]
    said = ask("sheets", "(m, given) => m.startModel(...given).warnings", given)
    assert len(said) == is_apple_tab
    assert all(words.startswith("Before the first mark put this page on the home screen") for words in said)
