"""Positions that are not what they seem: unmoving, from the network, made rough."""

import pytest

pytestmark = pytest.mark.browser

FIX = {"latDeg": 53.6, "lonDeg": -5.0, "accuracyM": 4.0, "heightM": 80.0, "at": 0}
WATCH = """(m, fixes) => {
  const watch = fixes.reduce(m.watchFix, m.unwatched);
  return [m.qualityOf(watch), m.qualityWords(watch), m.qualityRow(watch, 'metre')?.[0] ?? null];
}"""


def judge(ask, *fixes):
    return ask("fix_quality", WATCH, [{**FIX, **fix} for fix in fixes])


def repeated(count, every_ms=1000, **changes):
    return [{"at": i * every_ms, **changes} for i in range(count)]


def test_a_position_that_never_moves_is_called_frozen_with_its_seconds(ask):
    found, words, row = judge(ask, *repeated(24))
    assert (found, row) == ("frozen", "Not moving")
    assert words == ("The position has not moved at all for 23 s: the phone may be repeating an old one.")


SOUND = [
    ("a short while", repeated(10)),
    ("few fixes", repeated(4, 10_000)),
    ("the last digit moves", [{"at": i * 1000, "latDeg": 53.6 + i * 1e-9} for i in range(60)]),
    ("its accuracy moves", [{"at": i * 1000, "accuracyM": 4 + i * 0.01} for i in range(60)]),
]


@pytest.mark.parametrize("fixes", [case for _, case in SOUND], ids=[name for name, _ in SOUND])
def test_a_position_that_moves_or_is_young_is_not_called_frozen(ask, fixes):
    assert judge(ask, *fixes)[0] is None


def test_a_position_that_moves_again_is_no_longer_frozen(ask):
    assert judge(ask, *repeated(30), {"at": 30_000, "lonDeg": -5.1})[0] is None


NAMED = [
    ({"accuracyM": 20, "heightM": None}, "network"),
    ({"accuracyM": 19.9, "heightM": None}, None),
    ({"accuracyM": 35, "heightM": 80}, None),
    ({"accuracyM": 501, "heightM": None}, "rough"),
    ({"accuracyM": 2000, "heightM": 80}, "rough"),
    ({"accuracyM": None, "heightM": None}, None),
]


@pytest.mark.parametrize(("fix", "name"), NAMED)
def test_network_and_rough_positions_are_told_by_their_figure_and_height(ask, fix, name):
    assert judge(ask, fix)[0] == name


def test_a_rough_position_is_told_with_how_to_mend_it(ask):
    row = ask(
        "fix_quality",
        "(m, f) => m.qualityRow(m.watchFix(m.unwatched, f), 'metre')",
        {**FIX, "accuracyM": 3000},
    )
    assert "Precise Location" in row[1]
    assert "3000 m" in row[1]
