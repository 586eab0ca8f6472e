"""Items of several senders in one transaction."""

from dataclasses import replace

import pytest

from fieldapp.errors import ConflictError, StoreError
from fieldapp.store.records import add_records


@pytest.fixture
def waiting(store):
    """Writes items together, and returns what became of each: an answer or an error."""

    def together(work, *items):
        return store.write_all(work, items)

    return together


@pytest.fixture
def adding(new):
    """Adds all records of all items at once, noting each call; a person 'Bad' cannot be added."""
    calls = []

    def work(transaction, items):
        calls.append(len(items))
        added = iter(add_records(transaction, [new(document) for item in items for document in item]))
        if any(document["person"] == "Bad" for item in items for document in item):
            raise ConflictError("No.")
        return [[next(added) for _ in item] for item in items]

    work.calls = calls
    return work


def test_items_that_wait_are_written_together_and_each_has_its_own_answer(waiting, adding, held, mark):
    answers = waiting(adding, [mark(1), mark(2)], [mark(3)], [])
    assert answers == [["new", "new"], ["new"], []]
    assert adding.calls == [3]
    assert len(held()) == 3


def test_one_record_in_two_items_is_new_once(waiting, adding, held, mark):
    assert sorted(waiting(adding, [mark(1)], [mark(1)])) == [["held"], ["new"]]
    assert len(held()) == 1


def test_an_item_that_fails_takes_no_other_with_it(waiting, adding, held, mark):
    good, bad, other = waiting(adding, [mark(1)], [mark(7), mark(8, person="Bad")], [mark(2)])
    assert (good, other) == (["new"], ["new"])
    assert isinstance(bad, ConflictError)
    assert sorted(item.record.id for item in held()) == ["mark-0001", "mark-0002"]


def test_what_the_database_refuses_is_told_to_its_own_sender(waiting, held, mark, new):
    def work(transaction, items):
        return [
            add_records(transaction, [replace(new(document), site_version=version)])
            for document, version in items
        ]

    good, bad = waiting(work, (mark(1), 1), (mark(2), 99))
    assert good == ["new"]
    assert isinstance(bad, StoreError)
    assert "FOREIGN KEY" in str(bad)
    assert len(held()) == 1


def test_a_transaction_that_is_gone_is_never_called_held(waiting, held, mark, new):
    def work(transaction, items):
        answers = [add_records(transaction, [new(document)]) for document in items]
        transaction.exec_driver_sql("ROLLBACK")
        transaction.exec_driver_sql("SELECT no_such_column")
        return answers

    assert all(isinstance(answer, StoreError) for answer in waiting(work, mark(1), mark(2)))
    assert held() == []


def test_with_the_disk_full_exactly_what_is_told_to_be_held_is_held(waiting, held, mark, new):
    """SQLite undoes a whole transaction when there is no room, also what others wrote in it."""

    def work(transaction, items):
        answers = []
        for count in items:
            if count > 1:
                pages = transaction.exec_driver_sql("PRAGMA page_count").scalar()
                transaction.exec_driver_sql(f"PRAGMA max_page_count={pages + 3}")
            first = 1000 * count
            documents = [mark(number, person="P" * 900) for number in range(first, first + count)]
            answers.append(add_records(transaction, [new(document) for document in documents]))
        return answers

    one, many = waiting(work, 1, 200)
    assert one == ["new"]
    assert isinstance(many, StoreError)
    assert "full" in str(many)
    assert [item.record.id for item in held()] == ["mark-1000"]
