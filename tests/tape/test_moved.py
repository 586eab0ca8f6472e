"""Which peg moved: what is named, what is left open, and how often each is so; `pytest -s` prints the rates."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from fieldapp.tape.adjust import adjust
from fieldapp.tape.moved import which_moved
from fieldapp.tape.network import Distance, NetPeg
from fieldapp.tape.strength import strengths
from tests.tape.rings import TAPE_M, Ring

MOVED_M = 0.060
SQUARE = {"r1": (0.0, 0.0), "r2": (20.0, 1.0), "r3": (19.0, 18.0), "r4": (-1.0, 17.0)}
SIX = (("r1", "r2"), ("r1", "r3"), ("r1", "r4"), ("r2", "r3"), ("r2", "r4"), ("r3", "r4"))


def square(ends=SIX, sigma_m=0.004, moved=None, misread=None):
    """Pegs at SQUARE and distances without random error: `moved` (peg, dx, dy), `misread` (ends, by)."""
    true = dict(SQUARE)
    if moved is not None:
        true[moved[0]] = (true[moved[0]][0] + moved[1], true[moved[0]][1] + moved[2])
    off = {} if misread is None else {misread[0]: misread[1]}
    lines = [
        Distance(a, b, float(np.hypot(*np.subtract(true[a], true[b]))) + off.get((a, b), 0.0), TAPE_M)
        for a, b in ends
    ]
    return [NetPeg(peg, xy, sigma_m) for peg, xy in SQUARE.items()], lines


def test_distances_that_fit_and_check_every_peg_all_fit():
    found = which_moved(*square())
    assert (found.verdict, found.reason, found.suspects, found.wanted) == ("all fit", "fits", (), None)
    assert all(one.is_checked(0.06) for one in found.strengths)
    assert found.unchecked == ()


def test_a_moved_peg_is_named_with_where_it_is_now():
    found = which_moved(*square(moved=("r2", 0.06, 0.05)))
    assert (found.verdict, found.reason, found.suspects) == ("misfit", "one peg", ("r2",))
    assert (found.shift.x, found.shift.y) == pytest.approx((20.06, 1.05), abs=0.002)
    assert found.shift.moved_m == pytest.approx(np.hypot(0.06, 0.05), abs=0.002)
    assert 0.02 < found.shift.within_m < 0.04
    assert [one.peg for one in found.tests if one.remains] == ["r2"]


def test_a_peg_that_moved_by_metres_is_found_where_it_is():
    found = which_moved(*square(moved=("r3", 1.5, -2.0)))
    assert found.suspects == ("r3",)
    assert (found.shift.x, found.shift.y) == pytest.approx((20.5, 16.0), abs=0.005)


def test_a_misread_distance_is_named_and_wanted_again():
    found = which_moved(*square(misread=(("r1", "r3"), 0.10)))
    assert (found.verdict, found.reason, found.suspects) == ("misfit", "one distance", ())
    assert found.suspect_line == found.wanted == ("r1", "r3")


def test_a_fixed_peg_can_have_moved_too():
    pegs, lines = square(moved=("r1", -0.07, 0.04))
    held = [NetPeg(peg.id, peg.xy, peg.sigma_m, peg.id in ("r1", "r4")) for peg in pegs]
    assert which_moved(held, lines).suspects == ("r1",)


def test_one_distance_that_is_off_could_be_either_peg_or_the_tape():
    found = which_moved(*square(SIX[:1], misread=(("r1", "r2"), 0.10)))
    assert (found.verdict, found.reason) == ("cannot tell", "several")
    assert (found.suspects, found.suspect_line) == (("r1", "r2"), ("r1", "r2"))
    assert found.wanted == ("r1", "r2"), "to tape it again tells both pegs from the tape"
    assert found.unchecked == ("r3", "r4")


def test_a_distance_taped_again_alike_is_not_misread():
    pegs, lines = square((*SIX, ("r2", "r1")), misread=(("r1", "r2"), 0.10))
    found = which_moved(pegs, lines)
    assert (found.suspect_line, found.wanted) == (("r1", "r2"), None), (
        "the second reading contradicts the first"
    )
    alike = [*lines[:-1], Distance("r2", "r1", lines[0].level_m, TAPE_M)]
    assert which_moved(pegs, alike).reason == "more than one"


def test_two_things_wrong_are_a_misfit_of_nobody():
    pegs, lines = square(moved=("r1", 0.3, 0.2), misread=(("r3", "r4"), 0.4))
    found = which_moved(pegs, lines)
    assert (found.verdict, found.reason, found.suspects, found.suspect_line) == (
        "misfit", "more than one", (), None,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("ends", "wanted"), [((), ("r1", "r2")), (SIX[:1], ("r1", "r3")), (SIX[:2], ("r2", "r3"))]
)
def test_too_few_distances_say_which_one_to_tape_next(ends, wanted):
    found = which_moved(*square(ends))
    assert (found.verdict, found.reason) == ("cannot tell", "nothing taped" if not ends else "too few")
    assert found.wanted == wanted


def test_nothing_is_wanted_that_the_tape_does_not_reach():
    assert which_moved(*square(SIX[:1]), reach_m=5.0).wanted is None


def test_pegs_of_unknown_place_are_tested_by_the_distances_alone():
    pegs, lines = square(sigma_m=None)
    found = which_moved(pegs, lines)
    assert (found.verdict, found.dof) == ("cannot tell", 1)
    off = [*lines[:5], Distance("r3", "r4", lines[5].level_m + 0.2, TAPE_M)]
    assert which_moved(pegs, off).reason == "several"


def rates(count, sigma_m, moved_m, networks, seed, significance=0.01, counts=None):
    """How often each reason came, of `networks`; "right" counts r0 named. `counts` says if a ring and its lines do."""
    rng = np.random.default_rng(seed)
    found: Counter[str] = Counter()
    while found.total() < networks:
        ring = Ring(rng, count, sigma_m, moved_m)
        lines = ring.tape_all()
        if counts is not None and not counts(ring.pegs, lines):
            continue
        finding = which_moved(ring.pegs, lines, significance)
        right = finding.reason == "one peg" and finding.suspects == ("r0",)
        found["right" if right else finding.reason] += 1
    print(f"\n  {count} pegs, places {sigma_m * 1000:.0f} mm, moved {moved_m * 1000:.0f} mm: {dict(found)}")
    return found


def is_enough(pegs, lines):
    """Whether r0 would be named when it moves by MOVED_M, whatever the direction: by the plan and the sigmas alone."""
    places = {peg.id: peg.xy for peg in pegs}
    planned = [
        replace(line, level_m=float(np.hypot(*np.subtract(places[line.one], places[line.other]))))
        for line in lines
    ]
    strength = strengths(adjust(pegs, planned), 0.01)[0]
    return strength.named_from_m is not None and strength.named_from_m <= MOVED_M


@pytest.mark.parametrize(("count", "sigma_m"), [(6, 0.002), (6, 0.004)])
def test_a_peg_moved_by_60_mm_is_named_in_95_per_cent_of_networks_with_enough_redundancy(count, sigma_m):
    found = rates(count, sigma_m, MOVED_M, 100, seed=21, counts=is_enough)
    assert found["right"] >= 0.95 * found.total()
    assert found["one peg"] + found["one distance"] <= 1


def test_four_pegs_with_all_six_distances_are_mostly_enough_and_seldom_wrong():
    found = rates(4, 0.004, MOVED_M, 100, seed=22)
    assert found["right"] >= 0.6 * found.total()
    assert found["one peg"] + found["one distance"] <= 2


@pytest.mark.parametrize("significance", [0.01, 0.05])
def test_nothing_is_named_too_often_when_nothing_moved(significance):
    found = rates(4, 0.005, 0.0, 500, 23, significance)
    named = found["right"] + found["one peg"] + found["one distance"]
    assert named <= 1.5 * significance * found.total()
    assert found["fits"] >= (1 - 2 * significance) * found.total()


def test_taping_what_is_wanted_settles_it():
    """From a triangle among four pegs on, one wanted distance after the other."""
    rng = np.random.default_rng(24)
    ends: Counter[str] = Counter()
    for _ in range(60):
        ring = Ring(rng, 4, 0.003, 0.08)
        lines = [ring.tape(*pair) for pair in (("r0", "r1"), ("r0", "r2"), ("r1", "r2"))]
        finding = which_moved(ring.pegs, lines)
        while finding.verdict == "cannot tell" and finding.wanted is not None and len(lines) < 8:
            lines.append(ring.tape(*finding.wanted))
            finding = which_moved(ring.pegs, lines)
        ends["right" if finding.suspects == ("r0",) and finding.reason == "one peg" else finding.reason] += 1
    print(f"\n  r0 moved 80 mm, wanted distances taped: {dict(ends)}")
    assert ends["right"] >= 0.85 * ends.total()
    assert ends["one peg"] + ends["one distance"] <= 2
