"""Roles, and what becomes of a link."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from fieldapp.model.visitor import ROLES, InvitationLink, LinkDevice, Visitor, may

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)
LINK = InvitationLink("a", "Robin", "mark", False, 2, NOON, None, None)


def test_each_role_may_do_all_that_those_before_it_may():
    allowed = [[needed for needed in ROLES if Visitor("Robin", role).may(needed)] for role in ROLES]
    assert allowed == [list(ROLES[: count + 1]) for count in range(len(ROLES))]


@pytest.mark.parametrize(
    ("role", "needed"), [("manage", "everybody"), ("", "look"), ("boss", "look"), ("look", "")]
)
def test_what_is_no_role_may_nothing_and_is_needed_by_nobody(role, needed):
    assert not may(role, needed)


def test_an_end_by_hand_comes_before_an_end_by_time():
    ended = replace(LINK, ends_at=NOON, ended_at=NOON + timedelta(hours=1))
    assert ended.state_at(NOON) == "ended"


def test_more_devices_than_a_link_is_for_leave_none():
    full = replace(LINK, devices=(LinkDevice(NOON, "iPhone"),) * 3)
    assert full.devices_left == 0
