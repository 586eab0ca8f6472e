"""Any site written as text reads back to the very same site, to the last bit."""

from decimal import Decimal
from fractions import Fraction
from itertools import combinations

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldapp.formats.lengths import METRES_PER_COORDINATE, METRES_PER_SUFFIX, from_metres, to_metres
from fieldapp.formats.site_folder import load_site, read_site_text, save_site, site_text
from fieldapp.model import (
    KEEP_CLEAR_KINDS,
    PART_NAMES,
    Bunker,
    ControlPoint,
    DrawnShape,
    Ellipse,
    FittedGrid,
    GnssPosition,
    Hole,
    KeepClear,
    Kidney,
    LocalGrid,
    Outline,
    Peg,
    Placement,
    Plan,
    ProjectedGrid,
    SetOutRules,
    Site,
    SpotLevel,
    Tee,
    Units,
)

FACTORS = sorted({*METRES_PER_SUFFIX.values(), *METRES_PER_COORDINATE.values()})


def metres(low, high):
    """Any float between two, and figures as a person writes them."""
    hundredths = st.integers(int(low * 100) + (low > 0), int(high * 100)).map(lambda number: number / 100)
    anything = st.floats(low, high).filter(lambda value: value == 0 or abs(value) > 1e-9)
    return anything | hundredths


COORDINATE = metres(-1e7, 1e7)
LEVEL = st.none() | metres(-100, 9000)
DISTANCE = metres(-1900, 1900)
SIZE = metres(0.01, 400)
WITHIN = st.none() | metres(0, 100)
FAIRWAY = st.just(()) | st.tuples(COORDINATE, COORDINATE).map(
    lambda at: (at, (at[0] + 50, at[1]), (at[0] + 20, at[1] + 60))
)
SPOT_LEVELS = (
    st.lists(st.builds(SpotLevel, COORDINATE, COORDINATE, metres(-99, 999)), max_size=3)
    .filter(lambda spots: all(abs(a.x - b.x) + abs(a.y - b.y) > 0.1 for a, b in combinations(spots, 2)))
    .map(tuple)
)
NAME = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=12).filter(str.strip)
NOTE = st.text(st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n\t"), max_size=20)
ID = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9_-]{0,7}", fullmatch=True)
ANGLE = st.floats(-360, 360)
LAT, LON = st.floats(-90, 90), st.floats(-180, 180)
POINT = st.builds(ControlPoint, COORDINATE, COORDINATE, st.sampled_from(["plain", "corner", "through"]))
DRAWN = st.builds(
    DrawnShape,
    st.lists(POINT, min_size=1, max_size=6).map(tuple),
    st.sampled_from(["smooth", "straight"]),
    st.booleans(),
)
SHAPE = DRAWN | st.builds(Ellipse, SIZE, SIZE) | st.builds(Kidney, SIZE, SIZE, SIZE)
GRID = st.one_of(
    st.builds(LocalGrid, LAT, LON, metres(-100, 5000), COORDINATE, COORDINATE, ANGLE),
    st.builds(FittedGrid, st.sampled_from(["fixed", "free"]), metres(-100, 5000), metres(0.001, 5)),
    st.builds(
        ProjectedGrid,
        NAME,
        metres(-100, 5000),
        NAME,
        st.none() | st.floats(1990, 2090),
        st.none() | metres(0, 50),
    ),
)
UNITS = st.builds(
    Units,
    st.sampled_from(["yard", "metre"]),
    st.sampled_from(["metre", "foot"]),
    st.sampled_from(["metre", "foot", "us-survey-foot"]),
)
RULES = st.builds(
    SetOutRules, metres(0.001, 1), metres(0.01, 9), metres(0.0001, 1), metres(5, 100), metres(0.001, 0.5)
)
PEG = st.builds(
    Peg,
    ID,
    st.sampled_from(["control", "reference", "paint"]),
    COORDINATE,
    COORDINATE,
    LEVEL,
    st.none() | st.builds(GnssPosition, LAT, LON, LEVEL),
    NOTE,
    st.none() | metres(0, 90),
)


@st.composite
def plans(draw, tee):
    reach, carry = sorted(draw(st.tuples(metres(0, 1900), metres(0, 1900))))
    return Plan(
        tee,
        draw(st.sampled_from([None, reach])),
        draw(st.sampled_from([None, carry])),
        draw(st.none() | DISTANCE),
        draw(st.none() | DISTANCE),
        draw(metres(0.001, 90)),
    )


@st.composite
def bunkers(draw, tee):
    height = st.tuples(LEVEL, st.none()) | st.tuples(st.none(), metres(-30, 30))
    outline = st.builds(
        lambda name, part, shape, heights: Outline(name, part, shape, *heights),
        ID, st.sampled_from(PART_NAMES), SHAPE, height,
    )  # fmt: skip
    outlines = draw(st.lists(outline, min_size=1, max_size=3, unique_by=lambda item: item.id))
    place = st.none() | st.builds(Placement, st.just(tee.id), DISTANCE, DISTANCE, ANGLE)
    plan = st.none() | plans(tee.id)
    return Bunker(
        draw(ID),
        tee.hole,
        draw(NAME),
        draw(NAME),
        tuple(outlines),
        draw(place),
        draw(plan),
        draw(NOTE),
        draw(LEVEL),
    )


@st.composite
def keep_clear(draw):
    extent, count = draw(st.sampled_from([("point", 1), ("line", 2), ("line", 4), ("area", 3)]))
    places = st.tuples(COORDINATE, COORDINATE)
    points = draw(st.lists(places, min_size=count, max_size=count, unique=True).map(tuple))
    assume(extent != "area" or shapely.Polygon(points).area > 0.01)
    kind = draw(st.sampled_from(KEEP_CLEAR_KINDS))
    return KeepClear(draw(ID), kind, draw(NAME), extent, points, draw(metres(0, 90)), draw(NOTE))


@st.composite
def sites(draw):
    numbers = draw(st.lists(st.integers(1, 36), min_size=1, max_size=3, unique=True))
    pairs = st.lists(st.tuples(COORDINATE, COORDINATE), max_size=2).map(tuple)
    holes = [
        Hole(number, draw(NAME), draw(COORDINATE), draw(COORDINATE), draw(pairs), draw(LEVEL), draw(FAIRWAY))
        for number in numbers
    ]
    ids = draw(st.lists(ID, min_size=len(numbers), max_size=len(numbers), unique=True))
    tees = [
        Tee(tee, number, draw(NAME), draw(COORDINATE), draw(COORDINATE), draw(LEVEL), draw(WITHIN))
        for tee, number in zip(ids, numbers, strict=True)
    ]
    drawn = draw(
        st.lists(st.sampled_from(tees).flatmap(bunkers), max_size=2, unique_by=lambda bunker: bunker.id)
    )
    return Site(
        draw(ID),
        draw(NAME),
        draw(GRID),
        tuple(tees),
        tuple(holes),
        tuple(draw(st.lists(PEG, max_size=2, unique_by=lambda peg: peg.id))),
        tuple(drawn),
        draw(SPOT_LEVELS),
        draw(UNITS),
        draw(RULES),
        draw(NOTE),
        tuple(draw(st.lists(keep_clear(), max_size=2, unique_by=lambda thing: thing.id))),
    )


@settings(max_examples=120, deadline=None)
@given(sites())
def test_any_site_reads_back_the_same(site):
    text = site_text(site)
    assert read_site_text(text) == site
    assert site_text(read_site_text(text)) == text


@settings(max_examples=15, deadline=None)
@given(site=sites())
def test_any_site_saved_loads_the_same(tmp_path_factory, site):
    folder = tmp_path_factory.mktemp("site")
    save_site(site, folder)
    assert load_site(folder) == site


@settings(max_examples=150)
@given(st.floats(-1e8, 1e8).filter(lambda value: value == 0 or abs(value) > 1e-9), st.sampled_from(FACTORS))
def test_any_length_in_metres_has_a_decimal_in_any_unit(length_m, factor):
    assert to_metres(Decimal(from_metres(length_m, factor)), factor) == length_m


@settings(max_examples=150)
@given(st.decimals(-100_000, 100_000, places=4), st.sampled_from(FACTORS))
def test_a_decimal_that_a_person_wrote_is_written_again(number, factor):
    assert Decimal(from_metres(to_metres(number, factor), factor)) == number


@pytest.mark.parametrize(
    ("given", "factor", "written"),
    [(262, "yd", "262.0"), (18.5, "yd", "18.5"), (0.33, "ft", "0.33"), (0, "ft", "0.0"), (12, "m", "12.0")],
)
def test_a_length_is_written_in_few_figures(given, factor, written):
    unit = METRES_PER_SUFFIX[factor]
    assert from_metres(to_metres(Decimal(str(given)), unit), unit) == written


def test_a_yard_a_foot_and_a_survey_foot_are_exact():
    assert to_metres(Decimal(1000), METRES_PER_SUFFIX["yd"]) == 914.4
    assert to_metres(Decimal(1000), METRES_PER_SUFFIX["ft"]) == 304.8
    assert to_metres(Decimal(3937), METRES_PER_COORDINATE["us-survey-foot"]) == 1200.0
    assert Fraction(0.3048) != METRES_PER_SUFFIX["ft"]
