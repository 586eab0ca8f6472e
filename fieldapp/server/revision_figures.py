"""Two revisions of a bunker in figures and words: what both measure, and what becomes of their paint points."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from fieldapp.model import Site
from fieldapp.outline.clearance import Nearness
from fieldapp.outline.compared import ComparedOutline, Fate, compared
from fieldapp.outline.drawn_figures import drawn_figures
from fieldapp.outline.laid_out import LaidOutBunker, first_tee
from fieldapp.outline.measure import angle_to_play_deg, measure
from fieldapp.play.standing_plan import standing_plan
from fieldapp.server.bunker_figures import area_words
from fieldapp.server.record_rows import ground_words
from fieldapp.server.revision_contexts import ComparedBlock, FigureRow, OutlineFates, PointFate
from fieldapp.server.revision_drawing import draw_revisions
from fieldapp.server.yardage_words import DASH, MINUS, YardageWords, listed
from fieldapp.workflow.sites import StandingSite

FATE_WORDS: dict[Fate, str] = {
    "unmoved": "stays",
    "moved": "moves",
    "appears": "appears",
    "disappears": "disappears",
}
Values = dict[str, float | None]


def compared_block(
    standing: StandingSite,
    old: LaidOutBunker | None,
    new: LaidOutBunker,
    new_name: str,
    near: Sequence[Nearness] = (),
) -> ComparedBlock:
    """Compare two revisions; `old` is None where there is none to compare with."""
    site, scale = standing.site, standing.ground_scale(new.bunker.hole)
    outlines = compared(old, new, scale, site.rules.tolerance_m) if old else ()
    tee = _tee(site, new)
    unit = site.units.ground
    return ComparedBlock(
        old=f"revision {old.bunker.revision}" if old else "",
        new=new_name,
        summary=summary_words(outlines, ground_words(site.rules.tolerance_m, unit)),
        drawing=draw_revisions(standing, old, new, outlines, near),
        outlines=tuple(_fates(outline, unit) for outline in outlines),
        figures=tuple(_figures(site, old, new, tee, scale)),
        figures_caption=f"From {site.tee(tee).name}, level, on the ground",
        points=tuple(point_rows(outlines, unit)),
    )


def summary_words(outlines: Sequence[ComparedOutline], tolerance: str) -> str:
    """Say what becomes of the paint points of all outlines."""
    if not outlines:
        return ""
    fates: tuple[tuple[Fate, str, str], ...] = (
        ("moved", "move", f" by more than {tolerance}"),
        ("appears", "appear", ""),
        ("disappears", "disappear", ""),
        ("unmoved", "stay", f" within {tolerance}"),
    )
    told = []
    for fate, verb, more in fates:
        count = sum(outline.count(fate) for outline in outlines)
        if count:
            told.append(f"{count} {verb}{'' if count > 1 else 's'}{more}")
    return f"Of the paint points {listed(told)}."


def point_rows(outlines: Sequence[ComparedOutline], unit: str) -> Iterator[PointFate]:
    """Yield every paint point of both revisions."""
    for outline in outlines:
        for point in outline.points:
            yield PointFate(
                outline.called,
                DASH if point.old is None else str(point.old),
                DASH if point.new is None else str(point.new),
                FATE_WORDS[point.fate],
                _length(point.moved_m, unit),
                _length(point.off_m, unit),
            )


def _length(length_m: float | None, unit: str) -> str:
    return DASH if length_m is None else ground_words(length_m, unit)


def _fates(outline: ComparedOutline, unit: str) -> OutlineFates:
    return OutlineFates(
        part=outline.called,
        old=DASH if outline.old is None else str(len(outline.old.points.xy)),
        new=DASH if outline.new is None else str(len(outline.new.points.xy)),
        unmoved=outline.count("unmoved"),
        moved=outline.count("moved"),
        appear=outline.count("appears"),
        disappear=outline.count("disappears"),
        farthest=_length(outline.farthest_m, unit),
        line=_length(outline.farthest_off_m, unit),
    )


def _tee(site: Site, bunker: LaidOutBunker) -> str:
    plan = standing_plan(bunker.bunker)
    known = {tee.id for tee in site.tees}
    return plan.tee if plan and plan.tee in known else first_tee(site, site.hole(bunker.bunker.hole)).id


def _figures(
    site: Site, old: LaidOutBunker | None, new: LaidOutBunker, tee: str, scale: float
) -> Iterator[FigureRow]:
    before: Values = _values(site, old, tee, scale) if old else {}
    after = _values(site, new, tee, scale)
    play, unit = YardageWords(site.units.yardage), site.units.ground

    def yardage(value: float) -> str:
        return play.with_unit(value)

    def ground(value: float) -> str:
        return ground_words(value, unit)

    def area(value: float) -> str:
        return area_words(value, unit)

    rows: tuple[tuple[str, str, Callable[[float], str]], ...] = (
        ("middle, along the line of play", "along", yardage),
        ("middle, off the line of play", "offset", play.side_with_unit),
        ("reach: first sand, straight from the tee", "reach", yardage),
        ("carry: last sand, straight from the tee", "carry", yardage),
        ("long axis", "long", ground),
        ("short axis", "short", ground),
        ("long axis to the line of play", "slant", "{:.0f}°".format),
        ("area of the sand edge", "area", area),
        ("length of the sand edge", "length", ground),
    )
    for name, key, write in rows:
        one, other = before.get(key), after[key]
        yield FigureRow(
            name,
            DASH if one is None else write(one),
            DASH if other is None else write(other),
            DASH if one is None or other is None else _change(other - one, write, key == "offset"),
        )


def _change(change: float, write: Callable[[float], str], is_side: bool) -> str:
    """Write a change with its sign, that of an offset with its side."""
    text = write(change) if is_side else write(abs(change))
    if is_side or not any(figure in text for figure in "123456789"):
        return text
    return f"{'+' if change > 0 else MINUS}{text}"


def _values(site: Site, bunker: LaidOutBunker, tee: str, scale: float) -> Values:
    """Return figures in ground metres, degrees and square metres; None where there is none."""
    drawn = drawn_figures(site, bunker, site.tee(tee), scale)
    found = measure(bunker.sand.curve)
    slant_deg = angle_to_play_deg(found.long_axis_bearing_deg, bunker.play_bearing_deg)
    return {
        "along": drawn.along_m,
        "offset": drawn.offset_m,
        "reach": None if drawn.is_behind else drawn.reach_m,
        "carry": None if drawn.is_behind else drawn.carry_m,
        "long": found.long_axis_m * scale,
        "short": found.short_axis_m * scale,
        "slant": None if found.is_nearly_round else slant_deg,
        "area": None if found.area_m2 is None else found.area_m2 * scale**2,
        "length": found.perimeter_m * scale,
    }
