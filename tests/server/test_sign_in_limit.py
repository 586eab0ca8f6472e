"""How many wrong links and device cookies may come from one address."""

import pytest

from fieldapp.server.sign_in_limit import SignInLimit


def count(limit, address, many, now_s=0.0):
    for number in range(many):
        limit.wrong(address, f"guess {number} at {now_s}", now_s)


def test_past_the_bound_links_wait_until_the_first_wrong_one_is_forgotten():
    limit = SignInLimit(most=10)
    for turn in range(10):
        assert limit.wait_s("192.0.2.1", 10.0 * turn) == 0
        limit.wrong("192.0.2.1", f"guess {turn}", 10.0 * turn)
    assert [limit.wait_s("192.0.2.1", at) for at in (100.0, 299.5, 300.0)] == [200, 1, 0]


def test_being_told_to_wait_does_not_lengthen_the_wait():
    limit = SignInLimit(most=1, within_s=60)
    for at in (0.0, 10.0, 50.0):
        limit.wrong("192.0.2.1", f"guess at {at}", at)
    assert [limit.wait_s("192.0.2.1", at) for at in (50.0, 59.0, 60.0)] == [10, 1, 0]


def test_a_phone_that_asks_again_and_again_with_one_wrong_secret_counts_once():
    limit = SignInLimit(most=2)
    for at in range(100):
        limit.wrong("192.0.2.1", "the cookie of another server", float(at))
    assert limit.wait_s("192.0.2.1", 100.0) == 0


def test_the_bound_leaves_room_for_a_crew_behind_one_address():
    limit = SignInLimit()
    count(limit, "192.0.2.1", 199)
    assert limit.wait_s("192.0.2.1", 1.0) == 0
    count(limit, "192.0.2.1", 1, now_s=1.0)
    assert limit.wait_s("192.0.2.1", 1.0) == 299


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
    limit.wrong(one, "guess", 0.0)
    assert (limit.wait_s(other, 1.0) > 0) is alike


def test_its_memory_is_bounded_and_the_oldest_is_forgotten_first():
    limit = SignInLimit(most=1, most_addresses=100)
    for number in range(1000):
        limit.wrong(f"10.0.{number // 250}.{number % 250}", "guess", float(number) / 1000)
    assert len(limit) == 100
    assert limit.wait_s("10.0.3.249", 2.0) > 0
    assert limit.wait_s("10.0.0.0", 2.0) == 0
