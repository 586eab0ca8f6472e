"""Writing that shares a transaction with whatever else waits for its turn."""

import threading

import pytest

from fieldapp.errors import ConflictError, StoreError
from fieldapp.store.records import add_records


@pytest.fixture
def waiting(store):
    """Has works wait for one turn together, and returns what became of each: an answer or an error."""

    def together(*works):
        found = [None] * len(works)

        def run(turn, work):
            try:
                found[turn] = store.write_together(work)
            except Exception as fault:
                found[turn] = fault

        threads = [threading.Thread(target=run, args=(turn, work)) for turn, work in enumerate(works)]
        with store.writing():
            for thread in threads:
                thread.start()
            while len(store._pending) < len(works):
                threading.Event().wait(0.01)
        for thread in threads:
            thread.join()
        return found

    return together


def adding(new, *documents):
    return lambda transaction: add_records(transaction, [new(document) for document in documents])


def test_works_that_wait_share_a_transaction_and_each_has_its_own_answer(
    store, waiting, held, mark, new, monkeypatch
):
    opened = []
    real = store._transaction
    monkeypatch.setattr(store, "_transaction", lambda writes: opened.append(writes) or real(writes))
    answers = waiting(adding(new, mark(1), mark(2)), adding(new, mark(2), mark(3)), adding(new, mark(1)))
    assert sorted(answers, key=str) == sorted([["new", "new"], ["held", "new"], ["held"]], key=str)
    assert opened == [True, True]
    assert len(held()) == 3


def test_a_work_that_fails_is_undone_alone_and_told_why(waiting, held, mark, new):
    def failing(transaction):
        add_records(transaction, [new(mark(7))])
        raise ConflictError("No.")

    good, bad, other = waiting(adding(new, mark(1)), failing, adding(new, mark(2)))
    assert (good, other) == (["new"], ["new"])
    assert isinstance(bad, ConflictError)
    assert sorted(item.record.id for item in held()) == ["mark-0001", "mark-0002"]


def test_what_the_database_refuses_is_told_to_its_own_sender(waiting, held, mark, new):
    from dataclasses import replace

    def stranger(transaction):
        return add_records(transaction, [replace(new(mark(7)), site_version=99)])

    good, bad = waiting(adding(new, mark(1)), stranger)
    assert good == ["new"]
    assert isinstance(bad, StoreError)
    assert "FOREIGN KEY" in str(bad)
    assert len(held()) == 1


def test_a_transaction_that_is_gone_is_told_to_all_that_shared_it(waiting, held, mark, new):
    def losing(transaction):
        answer = add_records(transaction, [new(mark(1))])
        transaction.exec_driver_sql("ROLLBACK")
        return answer

    answers = waiting(adding(new, mark(2)), losing, adding(new, mark(3)))
    assert all(isinstance(answer, StoreError) for answer in answers)
    assert held() == []


def test_with_the_disk_full_nothing_is_told_to_be_held_that_is_not(store, waiting, held, mark, new):
    """SQLite undoes the whole transaction when there is no room, also what others wrote in it."""

    def no_room(transaction):
        pages = transaction.exec_driver_sql("PRAGMA page_count").scalar()
        transaction.exec_driver_sql(f"PRAGMA max_page_count={pages + 1}")
        return add_records(transaction, [new(mark(number, person="P" * 900)) for number in range(100, 300)])

    answers = waiting(adding(new, mark(1)), no_room, adding(new, mark(2)))
    told = sum(len(answer) for answer in answers if isinstance(answer, list))
    assert any(isinstance(answer, StoreError) and "full" in str(answer) for answer in answers)
    assert len(held()) == told
