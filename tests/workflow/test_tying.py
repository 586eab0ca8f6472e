"""Tie sheets of a site that was only read: its pegs are as true as the site says."""

from dataclasses import replace

from fieldapp.formats.site_folder import load_checked_site
from fieldapp.shipped_files import sample_site_folders
from fieldapp.workflow.tying import baseline_of_site, ties_of_site

SITE, GRID = load_checked_site(next(one for one in sample_site_folders() if one.name == "skerry-bank"))


def test_ties_and_strings_are_as_true_as_the_pegs_that_the_site_tells_of():
    loose = replace(SITE, pegs=tuple(replace(peg, within_m=0.12) for peg in SITE.pegs))
    exact, told = (ties_of_site(site, GRID, "4-right").ties for site in (SITE, loose))
    first = next(at for at, ties in enumerate(exact) if ties.ellipse)
    assert told[first].ellipse.major_m > 0.1 > exact[first].ellipse.major_m
    wide, narrow = (baseline_of_site(site, GRID, "4-right", "r4a", "r4c") for site in (loose, SITE))
    assert wide.places[0].row.ellipse.major_m > narrow.places[0].row.ellipse.major_m + 0.04
