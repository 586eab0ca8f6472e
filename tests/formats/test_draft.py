"""Drafts of bunkers as JSON: what is written reads back the same, and what is none is told in words."""

import contextlib
import copy
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.errors import FormatError
from fieldapp.formats.draft import draft_document, read_draft
from fieldapp.model import PART_NAMES, Bunker, ControlPoint, DrawnShape, Outline, Plan
from fieldapp.model.draft import Draft

PLACE = st.floats(-1e7, 1e7)
POINT = st.builds(ControlPoint, PLACE, PLACE, st.sampled_from(["plain", "corner", "through"]))
SHAPE = st.builds(
    DrawnShape, st.lists(POINT, max_size=6).map(tuple), st.sampled_from(["smooth", "straight"]), st.booleans()
)
HEIGHTS = st.tuples(st.none() | st.floats(-9, 99), st.none()) | st.tuples(st.none(), st.floats(-9, 9))
OUTLINE = st.builds(
    lambda name, part, shape, heights: Outline(name, part, shape, *heights),
    st.text(min_size=1, max_size=9), st.sampled_from(PART_NAMES), SHAPE, HEIGHTS,
)  # fmt: skip
OUTLINES = st.lists(OUTLINE, max_size=3, unique_by=lambda outline: outline.id).map(tuple)
PLAN = st.builds(Plan, st.just("4-back"), st.none(), st.floats(0, 400), st.none(), st.floats(-90, 90))
NAMES = st.text(min_size=1, max_size=20)
BUNKER = st.builds(
    lambda outlines, plan, name, note: Bunker("4-right", 4, name, "", outlines, None, plan, note, 11.5),
    OUTLINES, st.none() | PLAN, NAMES, st.text(max_size=20),
)  # fmt: skip
DRAFT = st.builds(Draft, BUNKER, st.none() | st.just("C"), st.none() | st.integers(1, 99))
SMALL = draft_document(
    Draft(
        Bunker(
            "4-right", 4, "4 right", "",
            (Outline("sand", "sand edge", DrawnShape((ControlPoint(0, 0), ControlPoint(5, 1, "corner")))),),
            plan=Plan("4-back", 10.0, 20.0),
        ),
        "C",
        3,
    )
)  # fmt: skip


@given(DRAFT)
def test_any_draft_reads_back_the_same(draft):
    assert read_draft(json.loads(json.dumps(draft_document(draft)))) == draft


def changed(*path, to):
    document = copy.deepcopy(SMALL)
    inner = document
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = to
    return document


@pytest.mark.parametrize(
    ("document", "words"),
    [
        ([], "This is no draft of a bunker"),
        (changed("format", to="fieldapp-site"), "This is no draft of a bunker"),
        (changed("version", to=2), "of version 2; this server reads version 1"),
        (changed("bunker", to=None), "'bunker' must be a JSON object"),
        (changed("bunker", "name", to=""), "'name' is empty"),
        (changed("outlines", to={}), "'outlines' must be a list of at most 40"),
        (changed("outlines", to=SMALL["outlines"] * 2), "two outlines have the same id"),
        (changed("outlines", 0, "part", to="hazard"), "'part' is 'hazard'; it must be one of sand edge, face foot"),
        (changed("outlines", 0, "closed", to=1), "outline 1: 'closed' must be true or false"),
        (changed("outlines", 0, "points", to=[[0, 0]] * 2001), "'points' must be a list of at most 2000"),
        (changed("outlines", 0, "points", 1, to=[1]), "outline 1, point 2 must be [x, y] or [x, y, role]"),
        (changed("outlines", 0, "points", 1, to=[1, "2"]), "outline 1, point 2: 'y' must be a number"),
        (changed("outlines", 0, "points", 1, to=[1, float("nan")]), "outline 1, point 2: 'y' must be a finite"),
        (changed("outlines", 0, "points", 1, to=[1, 2, "bend"]), "outline 1, point 2: 'role' is 'bend'"),
        (changed("outlines", 0, to=SMALL["outlines"][0] | {"level_m": 1, "above_ground_m": 1}), "give one of the two"),
        (changed("plan", "carry_m", to=5.0), "the planned reach is longer than the planned carry"),
        (changed("plan", "tolerance_m", to=0), "'tolerance_m' is 0; it must lie between 0.001 and 100"),
    ],
)  # fmt: skip
def test_what_is_no_draft_is_told(document, words):
    with pytest.raises(FormatError) as told:
        read_draft(document)
    assert words in str(told.value)


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


def places_in(content, path=()):
    items = content.items() if isinstance(content, dict) else enumerate(content)
    for key, value in items:
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from places_in(value, (*path, key))


@given(st.sampled_from(list(places_in(SMALL))), JUNK)
def test_whatever_stands_in_it_there_is_a_draft_or_words(place, junk):
    with contextlib.suppress(FormatError):
        read_draft(changed(*place, to=junk))
