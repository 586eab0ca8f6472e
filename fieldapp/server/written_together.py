"""What many requests want written at the same moment, written at once.

A transaction and its flush to the disk cost more than a batch of records.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from typing import Generic, TypeVar
from weakref import WeakKeyDictionary

from starlette.concurrency import run_in_threadpool

Item = TypeVar("Item")
Answer = TypeVar("Answer")


class WrittenTogether(Generic[Item, Answer]):
    """Writes what waits in one go, and while that lasts gathers what comes.

    `write_all` is called in a thread; it returns for each item its answer or why it could not be written.
    """

    def __init__(self, write_all: Callable[[Sequence[Item]], list[Answer | Exception]]) -> None:
        self._write_all = write_all
        self._waiting: WeakKeyDictionary[
            asyncio.AbstractEventLoop, list[tuple[Item, asyncio.Future[Answer]]]
        ] = WeakKeyDictionary()
        self._writers: set[asyncio.Task[None]] = set()

    async def write(self, item: Item) -> Answer:
        """Write an item; return its answer or raise why not."""
        loop = asyncio.get_running_loop()
        answer: asyncio.Future[Answer] = loop.create_future()
        if loop in self._waiting:
            self._waiting[loop].append((item, answer))
        else:
            self._waiting[loop] = [(item, answer)]
            writer = loop.create_task(self._work(loop))
            self._writers.add(writer)
            writer.add_done_callback(self._writers.discard)
        return await answer

    async def _work(self, loop: asyncio.AbstractEventLoop) -> None:
        """Write as long as there is something; a loop is among those that wait while this runs for it."""
        try:
            while together := self._waiting[loop]:
                self._waiting[loop] = []
                for (_, answer), found in zip(together, await self._written(together), strict=True):
                    if answer.done():
                        continue
                    if isinstance(found, Exception):
                        answer.set_exception(found)
                    else:
                        answer.set_result(found)
        finally:
            del self._waiting[loop]

    async def _written(
        self, together: Sequence[tuple[Item, asyncio.Future[Answer]]]
    ) -> list[Answer | Exception]:
        try:
            return await run_in_threadpool(self._write_all, [item for item, _ in together])
        except Exception as fault:
            return [fault] * len(together)
