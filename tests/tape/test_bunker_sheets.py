"""Tie sheets and base lines of whole bunkers: every figure leads back to its point."""

import math
from dataclasses import replace

import numpy as np
import pytest

from fieldapp.errors import InputError, NotFoundError
from fieldapp.formats.site_folder import load_checked_site
from fieldapp.model import Peg
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.shipped_files import sample_site_folders
from fieldapp.tape.baseline import point_at
from fieldapp.tape.bunker_ground import along_and_offset, bunker_ground, place_at
from fieldapp.tape.bunker_points import bunker_points, pegs_of_bunker, site_tape
from fieldapp.tape.intersection import intersect
from fieldapp.tape.tied_bunker import tied_bunker
from fieldapp.workflow.sites import laid_out
from fieldapp.workflow.tying import baseline_of_site, ties_of_site

SITES = {folder.name: load_checked_site(folder) for folder in sample_site_folders()}
PEGGED = {"skerry-bank": "4-right", "vindeloga": "7-right", "quandary-strait": "12-inner"}


@pytest.mark.parametrize("name", PEGGED)
def test_the_two_distances_of_every_tied_point_meet_at_it_on_the_side_told(name):
    site, grid = SITES[name]
    tied = ties_of_site(site, grid, PEGGED[name])
    places = {peg.id: peg.xy for peg in tied.pegs}
    found = 0
    for xy, ties in zip(tied.points.xy, tied.ties, strict=True):
        if ties.why:
            continue
        one, other = ties.ties[:2]
        both = intersect(places[one.peg], places[other.peg], one.level_m, other.level_m)
        meet = both.left if ties.side == "left" else both.right
        assert math.dist(meet, xy) < 1e-6
        found += 1
    assert found > len(tied.ties) / 2


def test_ground_metres_of_a_national_grid_are_not_its_own():
    """The grid's scale is 0.9999 and some here: 30 m on the grid are millimetres off on the ground."""
    site, grid = SITES["vindeloga"]
    tied = ties_of_site(site, grid, "7-right")
    scale = tied.points.scale
    assert abs(scale - 1) > 1e-5
    peg = next(peg for peg in site.pegs if peg.id == tied.ties[0].ties[0].peg)
    xy = tied.points.laid_out.outlines[0].points.xy[0]
    assert tied.ties[0].ties[0].level_m == pytest.approx(math.dist((peg.x, peg.y), xy) * scale, abs=1e-6)


@pytest.mark.parametrize("every_m", [None, 1.5])
@pytest.mark.parametrize(
    ("name", "ends"), [("skerry-bank", ("r4a", "r4c")), ("quandary-strait", ("m1", "m3"))]
)
def test_chainage_and_offset_lead_back_to_the_outline(name, ends, every_m):
    site, grid = SITES[name]
    squared = baseline_of_site(site, grid, PEGGED[name], *ends, every_m)
    rows = [place.row for place in squared.places]
    at = point_at([r.chainage_m for r in rows], [r.offset_m for r in rows], squared.start.xy, squared.end.xy)
    if every_m is None:
        assert at == pytest.approx(squared.points.xy, abs=1e-6)
        return
    steps = np.array([row.chainage_m for row in rows]) / every_m
    assert np.abs(steps - np.round(steps)).max() < 1e-6
    for place, xy in zip(squared.places, at, strict=True):
        curve = next(o for o in squared.points.laid_out.outlines if o.id == place.outline).curve
        on_grid = xy / squared.points.scale
        assert math.dist(curve.points_at([curve.nearest_m(on_grid)])[0], on_grid) < 0.003
    near_first = [place.row.offset_m for place in squared.places[:2]]
    assert abs(near_first[0]) <= abs(near_first[1])


def test_no_two_points_of_a_bunker_with_two_sand_edges_are_called_alike():
    site, grid = SITES["skerry-bank"]
    bunker = next(one for one in site.bunkers if one.id == "4-right")
    first = bunker.outlines[0]
    both = replace(bunker, outlines=(*bunker.outlines, replace(first, id="rim-2")))
    site = replace(site, bunkers=tuple(both if one is bunker else one for one in site.bunkers))
    points = ties_of_site(site, grid, "4-right").points
    called = [(name.called, name.number) for name in points.names]
    assert len(set(called)) == len(called)
    sands = [f"sand edge '{first.id}'", "sand edge 'rim-2'"]
    assert {words for words, _ in called if words.startswith("sand edge")} == set(sands)
    assert [words for words, _ in points.levels_basis if words.startswith("sand edge")] == sands
    assert {name.part for name in points.names if name.outline == "rim-2"} == {"sand edge"}


def test_a_string_wants_two_pegs_that_are_there():
    site, grid = SITES["skerry-bank"]
    with pytest.raises(InputError, match="both of its ends"):
        baseline_of_site(site, grid, "4-right", "r4a", "r4a")
    with pytest.raises(NotFoundError, match="called 'c1'; there are: r4a, r4b, r4c"):
        baseline_of_site(site, grid, "4-right", "r4a", "c1")


def standing(peg_id, state=None, kind="reference"):
    return StandingPeg(Peg(peg_id, kind, 2200.0, 5240.0 + len(peg_id)), state=state)


def test_pegs_that_are_not_in_place_are_left_out_and_paint_pegs_never_count():
    site, grid = SITES["skerry-bank"]
    points = bunker_points(site, laid_out(site, grid, site.bunker("4-right")), 1.0)
    pegs = [
        standing("a"), standing("bb", "missing"), standing("ccc", "moved"), standing("dddd", "planned"),
        standing("eeeee", "reset"), standing("ffffff", kind="paint"),
        StandingPeg(Peg("far", "reference", 2500.0, 5240.0)),
        StandingPeg(Peg("behind", "reference", 2200.0, points.xy[:, 1].max() + 1.2 * site_tape(site).length_m)),
    ]  # fmt: skip
    tied = tied_bunker(points, pegs, site_tape(site))
    assert [peg.id for peg in tied.pegs] == ["a", "eeeee"]
    assert {one.peg: one.why for one in tied.left_out} == {
        "bb": "is missing",
        "ccc": "has moved",
        "dddd": "is planned and not driven yet",
        "behind": "is out of reach of every paint point",
    }
    assert "far" not in [peg.peg.id for peg in pegs_of_bunker(pegs, points, site_tape(site))]


def test_along_and_aside_are_by_the_play_at_the_bunker():
    site, grid = SITES["skerry-bank"]
    points = bunker_points(site, laid_out(site, grid, site.bunker("4-right")), 1.0)
    ahead, right = place_at(points, 10.0, 0.0), place_at(points, 0.0, 10.0)
    bearing = math.radians(points.laid_out.play_bearing_deg)
    middle = np.array(points.laid_out.middle)
    assert ahead - middle == pytest.approx([10 * math.sin(bearing), 10 * math.cos(bearing)])
    assert right - middle == pytest.approx([10 * math.cos(bearing), -10 * math.sin(bearing)])
    assert along_and_offset(points, place_at(points, -3.5, 7.25)) == pytest.approx([-3.5, 7.25])


def test_other_bunkers_greens_and_tees_are_barred_and_fairways_only_avoided():
    site, grid = SITES["skerry-bank"]
    bunkers = [laid_out(site, grid, bunker) for bunker in site.bunkers]
    points = bunker_points(site, next(b for b in bunkers if b.bunker.id == "4-old"), 1.0)
    ground = bunker_ground(site, bunkers, points)
    other = next(b for b in bunkers if b.bunker.id == "4-right")
    fairway = (2180.0, 5230.0)
    assert not ground.is_free(np.array([other.middle]))[0]
    assert ground.is_free(np.array([fairway]))[0]
    assert ground.is_on_fairway(fairway)
    assert ground.is_avoided(np.array([fairway]))[0]


def test_a_peg_placed_by_phone_ties_no_point_and_is_said_to_be_left_out():
    site, grid = SITES["skerry-bank"]
    bunker = site.bunker("4-right")
    laid = laid_out(site, grid, bunker)
    points = bunker_points(site, laid, 1.0)
    pegs = [StandingPeg(peg) for peg in site.pegs]
    a, b = (next(peg for peg in site.pegs if peg.id == name) for name in ("r4a", "r4b"))
    by_phone = Peg("r4d", "reference", (a.x + b.x) / 2, (a.y + b.y) / 2)
    tied = tied_bunker(points, [*pegs, StandingPeg(by_phone, within_m=6.5, state="new")], site_tape(site))
    assert {tie.peg for ties in tied.ties for tie in ties.ties} == {"r4a", "r4b", "r4c"}
    assert [(out.peg, out.why) for out in tied.left_out] == [("r4d", "is known to 6.5 m (21 ft) only")]
