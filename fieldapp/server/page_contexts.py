"""What each page is given: one frozen, typed context a template, built from the core without a request."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

import numpy as np

from fieldapp.formats.bundle import hole_scale, standing_plan
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import FittedGrid, HeldRecord, LocalGrid, Site
from fieldapp.model.units import METRES_PER
from fieldapp.outline.laid_out import LaidOutBunker, LaidOutOutline, first_tee
from fieldapp.outline.measure import angle_to_play_deg, measure
from fieldapp.play.line_of_play import hole_length, line_of_play
from fieldapp.play.reach import reach_and_carry
from fieldapp.server.plan_drawing import Drawing, FloatArray, draw_bunker, draw_site
from fieldapp.workflow.records import real_marks
from fieldapp.workflow.sites import StandingSite

UNIT_SIGNS = {"metre": "m", "yard": "yd", "foot": "ft"}
VERDICT_WORDS = {"inside": "on the mark", "outside": "not on the mark", "cannot tell": "cannot tell"}


@dataclass(frozen=True)
class Fact:
    """A named fact in words."""

    name: str
    value: str


@dataclass(frozen=True)
class SiteCard:
    """One site on the list of sites."""

    id: str
    name: str
    counts: str
    progress: str
    drawing: Drawing


@dataclass(frozen=True)
class SitesPage:
    """The list of sites."""

    sites: tuple[SiteCard, ...]


@dataclass(frozen=True)
class TeeRow:
    """A tee of a hole, and the hole's length from it along the line of play."""

    hole: str
    tee: str
    yards: str
    metres: str


@dataclass(frozen=True)
class Figure:
    """A figure of a bunker as drawn and as planned, each with its unit; a dash where there is none."""

    name: str
    drawn: str
    planned: str


@dataclass(frozen=True)
class OutlineRow:
    """How far an outline has been painted."""

    part: str
    points: int
    done: int
    length: str
    area: str


@dataclass(frozen=True)
class MarkRow:
    """One standing mark, in words."""

    id: str
    part: str
    number: int
    verdict: str
    off: str
    radius: str
    person: str
    made_at: str
    revision: str
    older: bool


@dataclass(frozen=True)
class BunkerSection:
    """One bunker on the site page."""

    id: str
    name: str
    hole: int
    revision: str
    note: str
    drawing: Drawing
    progress: str
    outlines: tuple[OutlineRow, ...]
    figures_caption: str
    figures: tuple[Figure, ...]
    marks: tuple[MarkRow, ...]
    set_out_url: str
    qr_url: str


@dataclass(frozen=True)
class SitePage:
    """The page of one site."""

    id: str
    name: str
    note: str
    dated: str
    facts: tuple[Fact, ...]
    grid_notes: tuple[str, ...]
    drawing: Drawing
    tees: tuple[TeeRow, ...]
    bunkers: tuple[BunkerSection, ...]
    qr_words: str
    record_words: str
    csv_url: str
    geojson_url: str


@dataclass(frozen=True)
class SetOutPage:
    """The shell of the phone page; everything else is in the bundle."""

    site_id: str
    site_name: str
    hole: int
    bunker_id: str
    bunker_name: str
    bundle_url: str
    records_url: str
    site_url: str


@dataclass(frozen=True)
class ProblemPage:
    """A refusal, for a person."""

    title: str
    detail: str


def site_card(standing: StandingSite, held: Sequence[HeldRecord]) -> SiteCard:
    """Build a site's card; `held` are its records."""
    site = standing.site
    total = sum(len(outline.points.xy) for bunker in standing.bunkers for outline in bunker.outlines)
    done = sum(len(numbers) for bunker in standing.bunkers for numbers in _done(bunker, held).values())
    counts = f"{len(site.holes)} holes, {len(site.bunkers)} bunkers, {len(site.pegs)} pegs"
    return SiteCard(
        id=site.id,
        name=site.name,
        counts=counts,
        progress=f"{done} of {total} paint points painted",
        drawing=draw_site(site, standing.bunkers, _site_scale(standing), 0.0, width=680.0, most_height=400.0),
    )


def site_page(standing: StandingSite, held: Sequence[HeldRecord], today: date, only_here: bool) -> SitePage:
    """Build the page of one site; `held` are its records, oldest first.

    `only_here` says that the address this page was asked at leads no other machine here.
    """
    site = standing.site
    convergence = float(standing.grid.convergence_deg(_middle_of(standing)))
    return SitePage(
        id=site.id,
        name=site.name,
        note=site.note,
        dated=f"drawn {today.isoformat()}",
        facts=_facts(site, standing.grid),
        grid_notes=tuple(standing.grid.notes),
        drawing=draw_site(site, standing.bunkers, _site_scale(standing), convergence),
        tees=tuple(_tee_rows(standing)),
        bunkers=tuple(_section(standing, bunker, held, convergence) for bunker in standing.bunkers),
        qr_words="opens on this machine only" if only_here else "scan with the phone",
        record_words=_record_words(held),
        csv_url=f"/sites/{site.id}/records.csv",
        geojson_url=f"/sites/{site.id}/records.geojson",
    )


def set_out_page(site: Site, bunker_id: str) -> SetOutPage:
    """Build the shell of the phone page; raises NotFoundError."""
    bunker = site.bunker(bunker_id)
    return SetOutPage(
        site_id=site.id,
        site_name=site.name,
        hole=bunker.hole,
        bunker_id=bunker.id,
        bunker_name=bunker.name,
        bundle_url=f"/api/sites/{site.id}/holes/{bunker.hole}/bundle",
        records_url=f"/api/sites/{site.id}/records",
        site_url=f"/sites/{site.id}",
    )


def _middle_of(standing: StandingSite) -> FloatArray:
    middles = np.array([bunker.middle for bunker in standing.bunkers], dtype=float).reshape(-1, 2)
    return np.asarray(middles.mean(axis=0)) if len(middles) else np.zeros(2)


def _site_scale(standing: StandingSite) -> float:
    return float(standing.grid.ground_scale_at(_middle_of(standing)))


def _facts(site: Site, grid: CourseGrid) -> tuple[Fact, ...]:
    rules, unit = site.rules, site.units.ground
    return (
        Fact("Course grid", _grid_words(grid)),
        Fact("Yardage in", f"{site.units.yardage}s, level, from the tee plate"),
        Fact("On the mark", f"within {_ground(rules.tolerance_m, unit)}"),
        Fact("Paint points", f"at most {_ground(rules.spacing_m, unit)} apart"),
    )


def _grid_words(grid: CourseGrid) -> str:
    definition = grid.definition
    if isinstance(definition, LocalGrid):
        return f"the course's own, north at {definition.north_bearing_deg:.2f}° true"
    if isinstance(definition, FittedGrid):
        return _fit_words(grid)
    return definition.crs


def _fit_words(grid: CourseGrid) -> str:
    if grid.fit is None:
        return "fitted to pegs"
    return f"fitted to {len(grid.fit.peg_ids)} pegs, {grid.fit.rms_m * 1000:.0f} mm root mean square"


def _tee_rows(standing: StandingSite) -> list[TeeRow]:
    rows = []
    for hole in standing.site.holes:
        scale = hole_scale(standing.grid, hole)
        for tee in standing.site.tees_of(hole.number):
            line = line_of_play(standing.site, tee)
            yards = line.length_m * scale / METRES_PER["yard"]
            rows.append(TeeRow(hole.name, tee.name, f"{yards:.0f} yd", f"{hole_length(line, scale)} m"))
    return rows


def _section(
    standing: StandingSite, laid_out: LaidOutBunker, held: Sequence[HeldRecord], convergence_deg: float
) -> BunkerSection:
    site, bunker = standing.site, laid_out.bunker
    scale = hole_scale(standing.grid, site.hole(bunker.hole))
    done = _done(laid_out, held)
    total = sum(len(outline.points.xy) for outline in laid_out.outlines)
    base = f"/sites/{site.id}/set-out/{bunker.id}"
    figures_tee, figures = _figures(site, laid_out, scale)
    return BunkerSection(
        id=bunker.id,
        name=bunker.name,
        hole=bunker.hole,
        revision=bunker.revision,
        note=bunker.note,
        drawing=draw_bunker(site, laid_out, done, scale, convergence_deg),
        progress=f"{sum(map(len, done.values()))} of {total} painted",
        outlines=tuple(
            _outline_row(outline, len(done[outline.id]), scale, site.units.ground)
            for outline in laid_out.outlines
        ),
        figures_caption=f"From {figures_tee}, level, on the ground",
        figures=figures,
        marks=tuple(_mark_rows(site, laid_out, held)),
        set_out_url=base,
        qr_url=f"{base}/qr.svg",
    )


def _outline_row(outline: LaidOutOutline, done: int, scale: float, unit: str) -> OutlineRow:
    measures = measure(outline.curve)
    area = "–" if measures.area_m2 is None else _area(measures.area_m2 * scale**2, unit)
    length = _ground(measures.perimeter_m * scale, unit)
    return OutlineRow(outline.part, len(outline.points.xy), done, length, area)


def _figures(site: Site, laid_out: LaidOutBunker, scale: float) -> tuple[str, tuple[Figure, ...]]:
    bunker = laid_out.bunker
    plan = standing_plan(bunker)
    tee = site.tee(plan.tee) if plan else first_tee(site, site.hole(bunker.hole))
    line = line_of_play(site, tee)
    along, offset = line.locate(np.array(laid_out.middle))
    unit = site.units.yardage
    curve = laid_out.outlines[0].curve
    spread = (
        reach_and_carry((tee.x, tee.y), laid_out.middle, curve.trace(0.001), scale) if curve.closed else None
    )
    rows = [
        ("middle, along the line of play", float(along) * scale, plan.along_m if plan else None),
        ("middle, off the line of play", float(offset) * scale, plan.offset_m if plan else None),
        ("reach: first sand", spread.reach_m if spread else None, plan.reach_m if plan else None),
        ("carry: last sand", spread.carry_m if spread else None, plan.carry_m if plan else None),
    ]
    figures = [
        Figure(name, _side(drawn, unit, side), _side(planned, unit, side))
        for (name, drawn, planned), side in zip(rows, (False, True, False, False), strict=True)
    ]
    axis = measure(curve)
    slant = angle_to_play_deg(axis.long_axis_bearing_deg, laid_out.play_bearing_deg)
    figures.append(Figure("long axis", _ground(axis.long_axis_m * scale, site.units.ground), "–"))
    figures.append(Figure("long axis to the line of play", f"{slant:.0f}°", "–"))
    return tee.name, tuple(figures)


def _side(value_m: float | None, unit: str, sided: bool) -> str:
    if value_m is None:
        return "–"
    text = f"{abs(value_m) / METRES_PER[unit]:.1f} {UNIT_SIGNS[unit]}"
    if not sided:
        return text
    return f"{text} {'right' if value_m >= 0 else 'left'}"


def _ground(value_m: float, unit: str) -> str:
    if unit == "foot":
        return f"{value_m / METRES_PER['foot']:.2f} ft"
    return f"{value_m:.2f} m"


def _area(value_m2: float, unit: str) -> str:
    if unit == "foot":
        return f"{value_m2 / METRES_PER['foot'] ** 2:.0f} ft²"
    return f"{value_m2:.1f} m²"


def _done(laid_out: LaidOutBunker, held: Sequence[HeldRecord]) -> dict[str, frozenset[int]]:
    bunker = laid_out.bunker
    targets = [mark.target for _, mark in real_marks(held) if mark.target.bunker == bunker.id]
    return {
        outline.id: frozenset(
            target.number
            for target in targets
            if target.outline == outline.id
            and target.revision == bunker.revision
            and 1 <= target.number <= len(outline.points.xy)
        )
        for outline in laid_out.outlines
    }


def _mark_rows(site: Site, laid_out: LaidOutBunker, held: Sequence[HeldRecord]) -> list[MarkRow]:
    unit = site.units.ground
    rows = []
    for item, mark in real_marks(held):
        if mark.target.bunker != laid_out.bunker.id:
            continue
        radius = mark.fix.radius95_m if mark.fix else None
        rows.append(
            MarkRow(
                id=mark.id,
                part=mark.target.part,
                number=mark.target.number,
                verdict=VERDICT_WORDS[mark.verdict],
                off="no position" if item.off_m is None else _ground(item.off_m, unit),
                radius="not known" if radius is None else _ground(radius, unit),
                person=mark.person,
                made_at=_minute(mark.made_at),
                revision=mark.target.revision,
                older=mark.target.revision != laid_out.bunker.revision,
            )
        )
    return rows


def _minute(moment: datetime) -> str:
    return moment.astimezone(UTC).strftime("%Y-%m-%d %H:%M")


def _record_words(held: Sequence[HeldRecord]) -> str:
    real = len(real_marks(held))
    practice = sum(1 for item in held if item.record.practice)
    taken_back = sum(1 for item in held if item.undone_by is not None and not item.record.practice)
    return (
        f"{_count(real, 'mark stands', 'marks stand')}, {_count(taken_back, 'was taken back', 'were taken back')}, "
        f"and {_count(practice, 'record is practice', 'records are practice')} and never counted. "
        "The downloads hold every record, practice and taken-back ones included, each flagged as such."
    )


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
