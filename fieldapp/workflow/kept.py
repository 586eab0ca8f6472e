"""What is worked out once and kept: of many that ask at the same moment one works, and the others wait for it."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from threading import RLock
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


def worked_out_once(most: int) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """Keep a function's last `most` answers. A plain cache would have every thread work out what is not there yet."""

    def keeping(function: Callable[P, T]) -> Callable[P, T]:
        kept = lru_cache(maxsize=most)(function)
        lock = RLock()

        @wraps(function)
        def asked(*args: P.args, **kwargs: P.kwargs) -> T:
            with lock:
                return kept(*args, **kwargs)  # type: ignore[arg-type]

        return asked

    return keeping
