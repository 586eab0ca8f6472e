"""What many requests want of the store at the same moment, done at once.

A transaction and its flush to the disk cost more than a batch of records, and many phones ask the same.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from typing import Generic, TypeVar
from weakref import WeakKeyDictionary

from starlette.concurrency import run_in_threadpool

Item = TypeVar("Item")
Answer = TypeVar("Answer")


class DoneTogether(Generic[Item, Answer]):
    """Does what waits in one go, and while that lasts gathers what comes.

    `do_all` is called in a thread; it returns for each item its answer or why there is none. It begins after each of
    its items came, so that no answer is older than its question.
    """

    def __init__(self, do_all: Callable[[Sequence[Item]], list[Answer | Exception]]) -> None:
        self._do_all = do_all
        self._waiting: WeakKeyDictionary[
            asyncio.AbstractEventLoop, list[tuple[Item, asyncio.Future[Answer]]]
        ] = WeakKeyDictionary()
        self._workers: set[asyncio.Task[None]] = set()

    async def do(self, item: Item) -> Answer:
        """Do one with all that wait; return its answer or raise why there is none."""
        loop = asyncio.get_running_loop()
        answer: asyncio.Future[Answer] = loop.create_future()
        if loop in self._waiting:
            self._waiting[loop].append((item, answer))
        else:
            self._waiting[loop] = [(item, answer)]
            worker = loop.create_task(self._work(loop))
            self._workers.add(worker)
            worker.add_done_callback(self._workers.discard)
        return await answer

    async def _work(self, loop: asyncio.AbstractEventLoop) -> None:
        """Go on as long as something waits; a loop is among those that wait while this runs for it."""
        try:
            while together := self._waiting[loop]:
                self._waiting[loop] = []
                for (_, answer), found in zip(together, await self._done(together), strict=True):
                    if answer.done():
                        continue
                    if isinstance(found, Exception):
                        answer.set_exception(found)
                    else:
                        answer.set_result(found)
        finally:
            del self._waiting[loop]

    async def _done(
        self, together: Sequence[tuple[Item, asyncio.Future[Answer]]]
    ) -> list[Answer | Exception]:
        try:
            return await run_in_threadpool(self._do_all, [item for item, _ in together])
        except Exception as fault:
            return [fault] * len(together)
