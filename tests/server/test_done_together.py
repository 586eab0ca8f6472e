"""Requests that want something written at the same moment share one writing."""

import asyncio
import threading

import pytest

from fieldapp.errors import StoreError
from fieldapp.server.done_together import DoneTogether


class Slow:
    """Writes when it is let, and notes what came together; an item 'bad' cannot be written, 'burst' fails all."""

    def __init__(self):
        self.calls = []
        self.go = threading.Event()

    def __call__(self, items):
        self.calls.append(list(items))
        self.go.wait(5)
        if "burst" in items:
            raise StoreError("Gone.")
        return [StoreError("No.") if item == "bad" else item.upper() for item in items]


def run(slow, *items, cancel=()):
    async def all_at_once():
        writing = DoneTogether(slow)
        tasks = [asyncio.create_task(writing.do(items[0]))]
        while not slow.calls:
            await asyncio.sleep(0.001)
        tasks += [asyncio.create_task(writing.do(item)) for item in items[1:]]
        await asyncio.sleep(0)
        for turn in cancel:
            tasks[turn].cancel()
        slow.go.set()
        found = await asyncio.gather(*tasks, return_exceptions=True)
        again = await writing.do("again")
        return found, again

    return asyncio.run(all_at_once())


def test_what_comes_while_one_is_written_is_done_together():
    slow = Slow()
    found, again = run(slow, "a", "b", "c")
    assert (found, again) == (["A", "B", "C"], "AGAIN")
    assert slow.calls == [["a"], ["b", "c"], ["again"]]


def test_one_that_cannot_be_written_is_told_to_its_own_sender():
    found, again = run(Slow(), "a", "bad", "c")
    assert (found[0], found[2], again) == ("A", "C", "AGAIN")
    assert isinstance(found[1], StoreError)


@pytest.mark.parametrize("cancel", [(1,), (0, 2)])
def test_a_sender_that_went_away_stops_nobody(cancel):
    slow = Slow()
    found, again = run(slow, "a", "b", "c", cancel=cancel)
    assert [item for turn, item in enumerate(found) if turn not in cancel] == [
        word for turn, word in enumerate("ABC") if turn not in cancel
    ]
    assert again == "AGAIN"
    assert [item for call in slow.calls for item in call] == ["a", "b", "c", "again"]


def test_where_the_writing_itself_fails_all_are_told_and_the_next_goes_on():
    found, again = run(Slow(), "a", "burst", "c")
    assert found[0] == "A"
    assert [type(item) for item in found[1:]] == [StoreError, StoreError]
    assert again == "AGAIN"
