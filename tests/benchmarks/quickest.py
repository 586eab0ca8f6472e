"""Other work on the machine can only make a run slower: the quickest of a few runs counts."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

Run = TypeVar("Run")


def runs_until(one: Callable[[], Run], is_quick: Callable[[Run], bool], most: int) -> list[Run]:
    """Run until a run is quick enough, at most so many times: the quickest passes as it would after them all."""
    runs = [one()]
    while len(runs) < most and not is_quick(runs[-1]):
        runs.append(one())
    return runs
