"""Headers that every answer carries."""

import pytest

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)


@pytest.mark.parametrize("path", ["/api/sites", "/api/nothing", "/", "/enter/guess", "/s/none/none"])
def test_every_answer_says_what_a_page_may_load(manager, path):
    headers = manager.get(path).headers
    assert headers["content-security-policy"] == POLICY
    assert headers["permissions-policy"].startswith("geolocation=(self)")
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cross-origin-resource-policy"] == "same-origin"


def test_an_answer_to_nobody_carries_them_too(visitor_to, app):
    answer = visitor_to(app, "192.168.1.20").get("/api/sites")
    assert answer.status_code == 401
    assert answer.headers["content-security-policy"] == POLICY


def test_what_says_nothing_about_caching_must_be_asked_for_again(manager):
    assert manager.get("/api/sites").headers["cache-control"] == "no-cache"


def test_a_large_answer_is_sent_compressed(manager):
    answer = manager.get("/api/sites/small-links/holes/1/bundle", headers={"accept-encoding": "gzip"})
    assert answer.headers["content-encoding"] == "gzip"
