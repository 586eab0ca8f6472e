"""The pages' pure modules in a real Chromium, on a page that holds nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Route

WEB = Path(__file__).parents[3] / "web"
ORIGIN = "http://modules.test"
ASK = "async ({url, question, given}) => { const m = await import(url); return eval(question)(m, given); }"


@pytest.fixture(scope="module")
def blank(chromium: Browser) -> Iterator[Page]:
    """An empty page from which every file of web/ can be imported."""
    page = chromium.new_page()
    page.route(f"{ORIGIN}/**", _answer)
    page.goto(f"{ORIGIN}/blank")
    yield page
    page.close()


def _answer(route: Route) -> None:
    wanted = WEB / route.request.url.removeprefix(ORIGIN).lstrip("/")
    if wanted.is_file():
        route.fulfill(path=wanted, content_type="text/javascript")
    else:
        route.fulfill(body="<!doctype html><title>blank</title>", content_type="text/html")


@pytest.fixture
def ask(blank: Page) -> Callable[..., object]:
    """Ask a module, of the phone's session unless another room is named: ask('lengths', '(m, x) => m.fineness(x)')."""

    def question(module: str, function: str, given: object = None, room: str = "phone/session") -> object:
        url = f"{ORIGIN}/{room}/{module}.js"
        return blank.evaluate(ASK, {"url": url, "question": function, "given": given})

    return question
