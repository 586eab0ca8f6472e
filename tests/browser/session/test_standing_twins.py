"""The phone makes the same of the reports it was told as the server of all, and of those before the newest."""

import random
from datetime import UTC, datetime, timedelta

import pytest

from fieldapp.formats.bundle import build_bundle
from fieldapp.model import HeldRecord, Peg, PegReport
from fieldapp.workflow.standing_pegs import standing_pegs

pytestmark = pytest.mark.browser

START = datetime(2026, 5, 1, 6, 0, tzinfo=UTC)
LATER = ("found", "found", "found", "moved", "missing", "reset")
PEG = {"kind": "reference", "level_m": None, "note": "", "within_m": None}
STANDING = """(m, stories) => stories.map(({bundle, own}) => m.standingPegs({bundle, own, practice: null})
  .map(({id, state, x, y, withinM}) => [id, state, x, y, withinM]))"""


class Plan:
    """What of a site its pegs hang on."""

    id = "s"
    pegs = (Peg(id="c1", kind="control", x=5.0, y=6.0, within_m=0.2),)


def story(chance: random.Random, peg: str) -> list[HeldRecord]:
    """Return reports of a peg in the order they came; one of a crew begins with where it is."""
    count = chance.randint(1, 12)
    states = ([] if peg == "c1" else [chance.choice(("planned", "new"))]) + chance.choices(LATER, k=count)
    return [held(chance, peg, turn, state) for turn, state in enumerate(states)]


def held(chance: random.Random, peg: str, turn: int, state: str) -> HeldRecord:
    places = state in ("planned", "new", "reset")
    came = START + timedelta(minutes=turn)
    ahead = timedelta(days=chance.choice((0, 0, 0, 400)))
    report = PegReport(
        id=f"{peg} {turn}", site="s", hole=1, made_at=came - timedelta(seconds=5) + ahead, person="Ada",
        device="phone 1", practice=False, receiver="phone", bunker=None, peg=peg, peg_kind="reference",
        state=state, x=float(turn) if places else None, y=1.0 if places else None,
        within_m=turn / 100 if places else None,
    )  # fmt: skip
    return HeldRecord(report, turn, came, None, None)


def told(records: list[HeldRecord]) -> dict:
    pegs = standing_pegs(Plan, records)
    plan = [PEG | {"id": peg.id, "x": peg.x, "y": peg.y, "within_m": peg.within_m} for peg in Plan.pegs]
    return build_bundle({"pegs": plan}, [], START, pegs)


def stands(records: list[HeldRecord]) -> list[list[object]]:
    pegs = standing_pegs(Plan, records)
    return [[peg.peg.id, peg.state, peg.peg.x, peg.peg.y, peg.within_m] for peg in pegs]


def test_the_phone_makes_the_same_of_what_it_was_told(ask):
    chance = random.Random(20260501)
    stories = [story(chance, chance.choice(("c1", "p1"))) for _ in range(300)]
    shown = ask("standing_pegs", STANDING, [{"bundle": told(records), "own": []} for records in stories])
    assert shown == [stands(records) for records in stories]


def test_the_phone_that_takes_the_newest_report_back_makes_the_same_of_the_others(ask):
    chance = random.Random(20260502)
    stories = [story(chance, chance.choice(("c1", "p1"))) for _ in range(300)]
    undo = [{"kind": "undo", "undoes": records[-1].record.id, "made_at": "2026-05-02"} for records in stories]
    asked = [{"bundle": told(records), "own": [one]} for records, one in zip(stories, undo, strict=True)]
    assert ask("standing_pegs", STANDING, asked) == [stands(records[:-1]) for records in stories]


def test_an_own_report_that_the_server_dates_otherwise_takes_the_servers_place(ask):
    """This phone's clock ran two days ahead when it found the peg; another reported it missing after that."""
    chance = random.Random(1)
    records = [held(chance, "c1", 0, "found"), held(chance, "c1", 1, "missing")]
    bundle = told(records)
    ahead = {"id": "c1 0", "kind": "peg", "peg": "c1", "state": "found", "practice": False,
             "made_at": "2026-05-03T06:00:00.000Z", "photos": []}  # fmt: skip
    shown = ask("standing_pegs", STANDING, [{"bundle": bundle, "own": [ahead]}])
    assert shown[0][0][:2] == ["c1", "missing"]
