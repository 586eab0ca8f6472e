"""Waiting for what a page has to be asked again and again."""

from __future__ import annotations

import time
from collections.abc import Callable

from playwright.sync_api import Page


def wait_until(page: Page, holds: Callable[[], bool], seconds: float = 20) -> None:
    """Ask again and again; a page's own wait takes the promise of an answer for the answer."""
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "it did not come about in time"
        page.wait_for_timeout(100)
