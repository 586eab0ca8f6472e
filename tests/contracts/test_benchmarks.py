"""Every benchmark lies in tests/benchmarks, since that folder alone is run after the tests."""

from pathlib import Path

TESTS = Path(__file__).parents[1]
MARK = "pytest.mark." + "benchmark"


def test_benchmarks_lie_in_their_folder_and_all_there_are_benchmarks():
    marked = {file for file in TESTS.rglob("test_*.py") if MARK in file.read_text(encoding="utf-8")}
    assert marked == set((TESTS / "benchmarks").glob("test_*.py"))
