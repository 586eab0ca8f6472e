"""What kind of device a browser says it is. The headers are of the shapes that browsers send; versions are invented."""

import pytest

from fieldapp.workflow.device_kind import UNKNOWN, device_kind

KHTML = "AppleWebKit/537.36 (KHTML, like Gecko)"
KINDS = [
    (
        f"Mozilla/5.0 (Linux; Android 10; K) {KHTML} Chrome/120.0.0.0 Mobile Safari/537.36",
        "Android phone, Chrome",
    ),
    (f"Mozilla/5.0 (Linux; Android 10; K) {KHTML} Chrome/120.0.0.0 Safari/537.36", "Android tablet, Chrome"),
    ("Mozilla/5.0 (Android 14; Mobile; rv:120.0) Gecko/120.0 Firefox/120.0", "Android phone, Firefox"),
    (
        f"Mozilla/5.0 (Linux; Android 10; K) {KHTML} SamsungBrowser/23.0 Chrome/115.0 Mobile Safari/537.36",
        "Android phone, Samsung's browser",
    ),
    (
        "Mozilla/5.0 (iPhone; CPU iPhone OS 17_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) "
        "Version/17.0 Mobile/15E148 Safari/604.1",
        "iPhone, Safari",
    ),
    (
        "Mozilla/5.0 (iPhone; CPU iPhone OS 17_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) "
        "CriOS/120.0 Mobile/15E148 Safari/604.1",
        "iPhone, Chrome",
    ),
    (
        f"Mozilla/5.0 (Windows NT 10.0; Win64; x64) {KHTML} Chrome/120.0 Safari/537.36 Edg/120.0",
        "Windows computer, Edge",
    ),
    ("Mozilla/5.0 (X11; Linux x86_64; rv:120.0) Gecko/20100101 Firefox/120.0", "Linux computer, Firefox"),
    ("python-httpx/0.27", UNKNOWN),
    ("", UNKNOWN),
    ("<b>" * 5000, UNKNOWN),
]


@pytest.mark.parametrize(("header", "words"), KINDS)
def test_a_device_is_named_in_plain_words(header, words):
    assert device_kind(header) == words
