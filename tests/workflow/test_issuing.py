"""What a new revision is called."""

import pytest

from fieldapp.workflow.draft_issue import read_revision
from fieldapp.workflow.issuing import next_revision


@pytest.mark.parametrize(
    ("standing_revision", "used", "following"),
    [
        ("A", {"A"}, "B"),
        ("Y", {"Y"}, "Z"),
        ("Z", {"Z"}, "AA"),
        ("AZ", set(), "BA"),
        ("ZZ", set(), "AAA"),
        ("A", {"A", "B", "C"}, "D"),
        ("draft 1", {"draft 1"}, "A"),
        ("b", {"b", "A"}, "C"),
        ("1", {"1"}, "2"),
        ("9", {"9", "12", "A"}, "13"),
        ("9998", {"9998"}, "9999"),
        ("9999", {"9999", "A"}, "B"),
        ("12345", {"12345"}, "A"),
        ("ZZY", {"ZZY"}, "ZZZ"),
        ("ZZZ", {"ZZZ", "A"}, "B"),
        ("ABCD", {"ABCD"}, "A"),
    ],
)
def test_letters_and_numbers_run_on_and_none_is_used_twice(standing_revision, used, following):
    assert next_revision(standing_revision, used) == following
    assert read_revision(following, frozenset(used), "A") == following, "what is proposed can be given"
