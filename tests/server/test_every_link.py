"""Every link of every desk page leads somewhere: followed from the list of sites, by whoever may plan or only look."""

import re
from html import unescape
from urllib.parse import urljoin, urlsplit

import pytest

from tests.bunker_drafts import SQUARE, draft_of, moved, save
from tests.field_records import mark_document

LINK = re.compile(r'<(?:a|img|link|script|image|form method="get")\b[^>]*?\b(?:href|src|action)="([^"]*)"')


def pages_from(visitor, first):
    """Ask for every address that pages lead to, `first` first; yield (address, answer, the page that led there)."""
    known, waiting = {first}, [(first, "")]
    while waiting:
        address, led = waiting.pop()
        answer = visitor.get(address)
        yield address, answer, led
        if not answer.headers.get("content-type", "").startswith("text/html"):
            continue
        for found in LINK.findall(answer.text):
            parts = urlsplit(urljoin(address, unescape(found)))
            way = parts.path + (f"?{parts.query}" if parts.query else "")
            if not parts.netloc and way not in known:
                known.add(way)
                waiting.append((way, address))


@pytest.mark.parametrize("role", ["plan", "look"])
def test_every_link_leads_somewhere_and_every_page_has_a_title_and_one_heading(app, let_in, send, role):
    store = app.state.store
    fresh = [(1050.0, 2100.0), (1056.0, 2100.0), (1053.0, 2106.0)]
    save(store, "small-links", draft_of(fresh, "fresh", name="Fresh", grew_from=None))
    save(store, "small-links", draft_of(moved(SQUARE, 1.0)))
    send(mark_document(1))
    visitor, titles = let_in(role), {}
    for address, answer, led in pages_from(visitor, "/"):
        assert answer.status_code == 200, (address, led)
        if answer.headers["content-type"].startswith("text/html"):
            titles[address] = re.findall(r"<title>([^<]+)</title>", answer.text)[0]
            assert answer.text.count("<h1") <= 1, address
    assert len(titles) > 30
    boards = {address for address in titles if "/board" in address}
    assert any("bunker=fresh" in address for address in boards) == (role == "plan")
