"""The stored vectors are what Python answers now; run write_vectors.py after a wanted change."""

import json
import runpy
from pathlib import Path

import pytest

WRITER = runpy.run_path(str(Path(__file__).with_name("write_vectors.py")))
NAMES = [
    "adjust",
    "baseline",
    "check_in",
    "chi_square",
    "clearance",
    "combine",
    "curve",
    "frame",
    "intersection",
    "likelihood",
    "line_of_play",
    "measures",
    "moved",
    "next_line",
    "offset",
    "process",
    "reset",
    "shot",
    "slope",
    "strength",
    "ties",
    "trace_reach",
    "trial",
    "verdict",
    "yardage",
    "yardage_check",
]


@pytest.mark.parametrize("name", NAMES)
def test_stored_vectors_are_what_python_answers(name):
    stored = json.loads((WRITER["VECTORS"] / f"{name}.json").read_text(encoding="utf-8"))["cases"]
    answered = list(WRITER["CASES"][name]())
    assert len(stored) == len(answered)
    for then, now in zip(stored, answered, strict=True):
        assert then["call"] == now["call"]
        assert list(WRITER["differences"](now, then, 1e-7, now["call"])) == []


def test_there_is_a_file_of_vectors_for_every_module():
    assert sorted(path.stem for path in WRITER["VECTORS"].glob("*.json")) == NAMES == sorted(WRITER["CASES"])


@pytest.mark.parametrize(
    ("found", "want", "same"),
    [
        (1.0000005, 1.0, True),
        (1.000002, 1.0, False),
        (float("nan"), 1.0, False),
        (None, 1.0, False),
        ("inside", "outside", False),
        ({"bearingDeg": 359.9999999}, {"bearingDeg": 0.0}, True),
        ({"alongM": 360.0}, {"alongM": 0.0}, False),
        ([1.0, 2.0], [1.0, 2.1], False),
    ],
)
def test_differences_are_seen(found, want, same):
    assert (list(WRITER["differences"](found, want, 1e-6, "answer")) == []) is same
