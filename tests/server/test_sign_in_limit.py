"""How often an address may come with a wrong link."""

import pytest

from fieldapp.server.sign_in_limit import SignInLimit


def test_ten_are_counted_and_the_next_waits_until_the_first_is_forgotten():
    limit = SignInLimit()
    assert [limit.wrong("192.0.2.1", 10.0 * turn) for turn in range(10)] == [0] * 10
    assert limit.wrong("192.0.2.1", 100.0) == 200
    assert limit.wrong("192.0.2.1", 299.5) == 1
    assert limit.wrong("192.0.2.1", 300.0) == 0
    assert limit.wrong("192.0.2.1", 300.0) == 10


def test_being_told_to_wait_does_not_lengthen_the_wait():
    limit = SignInLimit(most=1, within_s=60)
    limit.wrong("192.0.2.1", 0.0)
    assert [limit.wrong("192.0.2.1", at) for at in (10.0, 50.0, 59.0)] == [50, 10, 1]
    assert limit.wrong("192.0.2.1", 60.0) == 0


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("192.0.2.1", "192.0.2.2", False),
        ("192.0.2.1", "::ffff:192.0.2.1", True),
        ("2001:db8::1", "2001:db8::ffff:1", True),
        ("2001:db8::1", "2001:db8:0:1::1", False),
        ("fe80::1%eth0", "fe80::2", True),
        ("", "somewhere", False),
    ],
)
def test_what_one_visitor_has_to_itself_counts_as_one(one, other, alike):
    limit = SignInLimit(most=1)
    limit.wrong(one, 0.0)
    assert (limit.wrong(other, 1.0) > 0) is alike


def test_its_memory_is_bounded_and_the_oldest_is_forgotten_first():
    limit = SignInLimit(most=1, most_addresses=100)
    for number in range(1000):
        limit.wrong(f"10.0.{number // 250}.{number % 250}", float(number) / 1000)
    assert len(limit) == 100
    assert limit.wrong("10.0.3.249", 2.0) > 0
    assert limit.wrong("10.0.0.0", 2.0) == 0
