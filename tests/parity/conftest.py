"""An empty page from which every module of web/ can be imported."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

WEB = Path(__file__).parents[2] / "web"


class Quiet(SimpleHTTPRequestHandler):
    """Serves the files of web/."""

    def log_message(self, format: str, *args: object) -> None:
        """Requests are not printed among the tests."""


@pytest.fixture(scope="module")
def blank(chromium: Browser) -> Iterator[Page]:
    """A page of the server of web/ that holds nothing else."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(WEB))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        page = chromium.new_page()
        page.goto(f"http://127.0.0.1:{server.server_port}/phone/geometry/verdict.js")
        yield page
        page.close()
        server.shutdown()
