"""Broken drawings of every kind: each is read, or refused in a sentence, in good time.

`python -m tests.formats.fuzz_drawings` searches for longer.
"""

from __future__ import annotations

import random
import struct
import zipfile
from io import BytesIO

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.formats.drawing_files import samples
from tests.formats.drawing_mutations import mutated
from tests.formats.fuzz_drawings import outcome

QUICK = [name for name in samples() if not name.endswith("dxf")]
SLOW = [name for name in samples() if name.endswith("dxf")]
HOW = settings(deadline=None, suppress_health_check=list(HealthCheck), database=None, derandomize=True)


def holds(name: str, content: bytes) -> None:
    came_to = outcome(name, content)
    assert came_to in ("read", "refused"), came_to


@pytest.mark.parametrize("name", QUICK)
@settings(HOW, max_examples=60)
@given(chance=st.randoms(use_true_random=False))
def test_a_changed_file_is_read_or_refused(name: str, chance: random.Random):
    holds(name, mutated(samples()[name], chance, samples()))


@pytest.mark.parametrize("name", SLOW)
@settings(HOW, max_examples=5)
@given(chance=st.randoms(use_true_random=False))
def test_a_changed_dxf_is_read_or_refused(name: str, chance: random.Random):
    holds(name, mutated(samples()[name], chance, samples()))


@settings(HOW, max_examples=150)
@given(content=st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(content: bytes):
    holds("x", content)


@settings(HOW, max_examples=40)
@given(text=st.text(max_size=300))
def test_any_text_is_read_or_refused(text: str):
    for start in ("", "{", "<gpx>", "x,y\n1,2\n", "  0\nSECTION\n"):
        holds("x", (start + text).encode("utf-8", "surrogatepass"))


def broken_shapefile(**changes: int) -> bytes:
    """A zip with one polyline of a .shp whose counts are changed."""
    says = {"parts": 1, "points": 2, "first": 0, "words": 40, **changes}
    record = struct.pack("<i4d2ii", 3, 0.0, 0.0, 1.0, 1.0, says["parts"], says["points"], says["first"])
    record += struct.pack("<4d", 0.0, 0.0, 1.0, 1.0)
    shp = struct.pack(">i5ii", 9994, 0, 0, 0, 0, 0, 94) + struct.pack("<ii8d", 1000, 3, *[0.0] * 8)
    shp += struct.pack(">ii", 1, says["words"]) + record
    made = BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("a.shp", shp)
    return made.getvalue()


@pytest.mark.parametrize(
    "changes",
    [
        {}, {"parts": 0}, {"parts": -1}, {"parts": 2**31 - 1}, {"points": 2**31 - 1}, {"points": -5}, {"points": 0},
        {"first": 7}, {"first": -7}, {"words": 2**31 - 1}, {"words": 0}, {"words": -8},
    ],
)  # fmt: skip
def test_a_shapefile_whose_counts_are_wrong(changes: dict[str, int]):
    holds("x.zip", broken_shapefile(**changes))
    if not changes:
        assert outcome("x.zip", broken_shapefile()) == "read"
