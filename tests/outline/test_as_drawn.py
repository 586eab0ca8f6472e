"""A bunker by points on the course grid lies where it lay."""

import math
from pathlib import Path

import pytest
import shapely

from fieldapp.formats.site_folder import load_site
from fieldapp.geodesy.grid import build_grid
from fieldapp.model import DrawnShape
from fieldapp.model.units import METRES_PER
from fieldapp.outline.as_drawn import as_drawn
from fieldapp.outline.laid_out import hole_scale, lay_out_bunker
from fieldapp.outline.place import outline_curves, own_frame

SAMPLES = Path(__file__).parent.parent.parent / "sample_sites"


@pytest.mark.parametrize("folder", sorted(SAMPLES.glob("*/site.toml")), ids=lambda file: file.parent.name)
def test_every_bunker_of_the_samples_stays_within_two_millimetres(folder):
    site = load_site(folder.parent)
    grid = build_grid(site.grid, site.pegs)
    for bunker in site.bunkers:
        scale = hole_scale(grid, site.hole(bunker.hole))
        made = as_drawn(site, bunker, scale)
        assert made.bunker.place is None
        assert all(isinstance(outline.shape, DrawnShape) for outline in made.bunker.outlines)
        before, after = outline_curves(site, bunker, scale), outline_curves(site, made.bunker, scale)
        for name, curve in before.items():
            lines = [shapely.LineString(one.vertices(0.0001)) for one in (curve, after[name])]
            assert shapely.hausdorff_distance(*lines) <= 0.002, (bunker.id, name)
        if bunker.place is None:
            assert (made.bunker, made.remarks) == (bunker, ())
        else:
            placed = f"It was placed by play from the {site.tee(bunker.place.tee).name}"
            assert sum(words.startswith(placed) for words in made.remarks) == 1
            centre = own_frame(site, bunker.place, scale).centre
            away_m = math.dist(centre, lay_out_bunker(site, made.bunker, scale).middle) * scale
            told = (
                made.remarks[0]
                if made.remarks[0].startswith("Measured here from the middle of its sand")
                else ""
            )
            sign = "ft" if site.units.ground == "foot" else "m"
            figure = f"{away_m / METRES_PER[site.units.ground]:.2f} {sign} away"
            assert (figure in told) is (away_m >= 0.005), "its figures by play are not those it was placed by"
        given = [outline for outline in bunker.outlines if not isinstance(outline.shape, DrawnShape)]
        kinds = [type(outline.shape).__name__.lower() for outline in given]
        told = [words for words in made.remarks if "was given as" in words]
        assert len(told) == len(kinds)
        assert all(
            kind in words and "points follows it within 1." in words
            for kind, words in zip(kinds, told, strict=True)
        )
        assert all(len(made.bunker.outline(outline.id).shape.points) <= 40 for outline in given), (
            "few enough to edit"
        )
