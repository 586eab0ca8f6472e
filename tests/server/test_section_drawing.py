"""Sections on a sheet: to scale, heights exaggerated by a stated factor, nothing beside the sheet."""

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from fieldapp.formats.site_folder import load_checked_site
from fieldapp.outline.laid_out import hole_scale, lay_out_bunker
from fieldapp.play.section import Pocket, Run, Section, Unknown
from fieldapp.play.sight import sight
from fieldapp.play.tee_sight import TeeSight, tee_sights
from fieldapp.server.section_drawing import draw_close, draw_long
from fieldapp.server.section_window import BOTTOM, NARROW, TOP, WIDE
from fieldapp.server.sight_words import SightWords
from fieldapp.server.yardage_words import YardageWords

SAMPLES = Path(__file__).parents[2] / "sample_sites"
METRES = SightWords(YardageWords("metre"), "metre")
PLOT_PX = WIDE.width - WIDE.left - WIDE.right
YARDS_AND_FEET = SightWords(YardageWords("yard"), "foot")


@pytest.fixture(scope="module")
def found():
    """A pit behind known ground, a gap and known ground again, seen from a plate at level 10."""
    ground = (
        Run("ground", np.array([(0.0, 10.0), (60.0, 9.4)])),
        Run("ground", np.array([(150.0, 9.1), (200.0, 9.0)])),
    )
    section = Section(
        10.0,
        ground,
        (Pocket((200.0, 9.0), (210.0, 9.0), 8.0),),
        (Unknown((60.0, 9.4), (150.0, 9.1)),),
        200.0,
        210.0,
    )
    site, _ = load_checked_site(SAMPLES / "vindeloga")
    return TeeSight(site.tees[0], 1.65, section, sight(section, 1.65), None)


def places(path):
    """The spots of a path, one list a stroke."""
    return [
        [tuple(map(float, spot.split())) for spot in stroke.split("L")]
        for stroke in path.split("M")
        if stroke
    ]


@pytest.mark.parametrize("sheet", [WIDE, NARROW])
@pytest.mark.parametrize("draw", [draw_long, draw_close])
def test_heights_are_drawn_the_stated_number_of_times(found, draw, sheet):
    drawing = draw(found, METRES, sheet)
    assert (drawing.sheet, drawing.width) == (sheet.name, sheet.width)
    ((top, bottom),) = [stroke for stroke in places(drawing.sand) if stroke[0][0] == stroke[1][0]][:1]
    (left, right) = next(stroke for stroke in places(drawing.sand) if stroke[0][1] == stroke[1][1])
    up, along = bottom[1] - top[1], right[0] - left[0]
    # the pit is 1 m deep and 10 m long
    assert up / 1.0 / (along / 10.0) == pytest.approx(drawing.factor, rel=2e-3)
    assert drawing.factor > 1


def test_the_long_section_shows_the_known_ground_solid_and_the_gap_with_its_words(found):
    drawing = draw_long(found, METRES)
    assert len(places(drawing.ground)) == 2
    (gap,) = drawing.gaps
    assert gap.words.text == "levels not known"
    px = PLOT_PX / 210
    assert [x for x, _ in places(gap.path)[0]] == pytest.approx(
        [WIDE.left + 60 * px, WIDE.left + 150 * px], abs=0.01
    )


def test_what_is_seen_is_the_upper_face_and_no_more(found):
    drawing = draw_close(found, METRES)
    ((low, high),) = places(drawing.seen)
    (part,) = found.sight.seen
    assert low[0] == high[0]
    px = PLOT_PX / (drawing_span(found)) * drawing.factor
    assert low[1] - high[1] == pytest.approx((part.end[1] - part.start[1]) * px, abs=0.02)


def drawing_span(found):
    return found.section.far_m + 0.4 - (found.section.front_m - 6.0)


def test_the_line_of_sight_runs_from_the_eye_over_what_hides_to_the_lowest_sand_seen(found):
    drawing = draw_long(found, METRES)
    ((eye, end),) = places(drawing.ray)
    assert eye == drawing.eye
    ((x, y),) = drawing.marks
    assert y == pytest.approx(eye[1] + (end[1] - eye[1]) * (x - eye[0]) / (end[0] - eye[0]), abs=0.1)
    assert end == pytest.approx(places(drawing.seen)[0][0], abs=0.1)


@pytest.mark.parametrize(
    ("words", "unit_m", "yard_m"), [(METRES, 1.0, 1.0), (YARDS_AND_FEET, 0.3048, 0.9144)]
)
def test_ticks_are_round_figures_in_the_units_of_the_site(found, words, unit_m, yard_m):
    drawing = draw_long(found, words)
    px = PLOT_PX / 210
    for tick in drawing.distances:
        assert tick.at == pytest.approx(WIDE.left + float(tick.label) * yard_m * px, abs=0.02)
    levels = [(float(tick.label) * unit_m, tick.at) for tick in drawing.levels]
    assert len(levels) >= 3
    for (low, under), (high, over) in pairwise(levels):
        assert (under - over) / (high - low) == pytest.approx(px * drawing.factor, rel=5e-3)


def test_without_levels_beyond_the_plate_there_is_nothing_to_draw(found):
    bare = Section(10.0, (Run("ground", np.array([(0.0, 10.0)])),), front_m=200.0, far_m=210.0)
    nothing = replace(found, section=bare, sight=sight(bare, 1.65))
    assert (draw_long(nothing, METRES), draw_close(nothing, METRES)) == (None, None)


def test_nothing_of_any_sample_is_drawn_beside_the_sheet():
    for folder in sorted(SAMPLES.iterdir()):
        site, grid = load_checked_site(folder)
        words = SightWords.of(site)
        scales = {hole.number: hole_scale(grid, hole) for hole in site.holes}
        laid_out = [lay_out_bunker(site, bunker, scales[bunker.hole]) for bunker in site.bunkers]
        for bunker in laid_out:
            for seen in tee_sights(site, laid_out, bunker, (1.65, 0.3, 8.0), 0.3, scales[bunker.bunker.hole]):
                drawn = [draw(seen, words, at) for draw in (draw_long, draw_close) for at in (WIDE, NARROW)]
                for drawing in filter(None, drawn):
                    check_on_sheet(drawing)


def check_on_sheet(drawing):
    paths = [drawing.ground, drawing.sand, drawing.seen, drawing.ray, drawing.wanted]
    paths += [gap.path for gap in drawing.gaps]
    numbers = re.findall(r"(-?[\d.]+) (-?[\d.]+)", " ".join(paths).replace("M", " ").replace("L", " "))
    left, top, right, bottom = drawing.frame
    for x, y in numbers:
        assert left - 0.1 <= float(x) <= right + 0.1
        assert top - 0.1 <= float(y) <= bottom + 0.1
    for word in drawing.words:
        width = 7.4 * len(word.text)
        start = word.at[0] - {"start": 0, "middle": width / 2, "end": width}[word.anchor]
        assert start >= 0
        assert start + width <= drawing.width
        assert TOP / 3 <= word.at[1] <= drawing.height - BOTTOM + 40
