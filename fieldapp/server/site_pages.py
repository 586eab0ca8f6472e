"""The contexts of the desk pages, built from a site and its records without a request."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date

import numpy as np

from fieldapp.formats.bundle import site_notes
from fieldapp.formats.near_words import near_words
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import HeldRecord, Hole, Site, Target
from fieldapp.model.units import METRES_PER
from fieldapp.outline.laid_out import LaidOutBunker, LaidOutOutline, hole_scale
from fieldapp.outline.measure import measure
from fieldapp.play.line_of_play import hole_length, line_of_play
from fieldapp.server.bunker_figures import area_words, drawn_against_planned
from fieldapp.server.capture_page import capture_rows
from fieldapp.server.drawing_kinds import drawing_links
from fieldapp.server.grid_words import grid_words
from fieldapp.server.page_contexts import (
    BunkerSection,
    Fact,
    HoleLink,
    OutlineRow,
    SiteCard,
    SitePage,
    TeeRow,
)
from fieldapp.server.plan_drawing import Numbers, draw_bunker, draw_site
from fieldapp.server.plan_sheet import FloatArray
from fieldapp.server.record_rows import ground_words, mark_rows, peg_visit_rows, record_words, twice_words
from fieldapp.server.revision_words import (
    NOTHING_ISSUED,
    IssuedAndDrawn,
    issued_words,
    marks_words,
    state_words,
)
from fieldapp.server.yardage_check_rows import yardage_check_rows
from fieldapp.workflow.captures import HeldCapture
from fieldapp.workflow.records import real_marks
from fieldapp.workflow.revisions import marks_not_in_the_plan, old_marks
from fieldapp.workflow.sites import StandingSite


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


def site_page(
    standing: StandingSite,
    held: Sequence[HeldRecord],
    captures: Sequence[HeldCapture],
    today: date,
    only_here: bool,
    revisions: IssuedAndDrawn = NOTHING_ISSUED,
) -> SitePage:
    """Build the page of one site; `held` are its records, oldest first, `captures` those that are outlines as sprayed.

    `only_here` says that the address this page was asked at leads no other machine here; `revisions` are those that
    were issued here, and the open drafts that whoever asks may issue.
    """
    site = standing.site
    convergence = float(standing.grid.convergence_deg(_middle_of(standing)))
    return SitePage(
        id=site.id,
        name=site.name,
        note=site.note,
        dated=f"drawn {today.isoformat()}",
        facts=_facts(site, standing.grid),
        notes=site_notes(site, standing.grid),
        drawing=draw_site(site, standing.bunkers, _site_scale(standing), convergence),
        holes=tuple(_hole_link(site, hole) for hole in site.holes),
        tees=tuple(_tee_rows(standing)),
        bunkers=tuple(
            _section(standing, bunker, held, captures, convergence, revisions) for bunker in standing.bunkers
        ),
        new_drafts=tuple(_new_drafts(site, revisions)),
        gone=tuple(_gone(standing, held, revisions)),
        field_url=f"/field/{site.id}",
        pegs_url=f"/sites/{site.id}/pegs",
        backdrops_url=f"/sites/{site.id}/backdrops",
        qr_words="opens on this machine only" if only_here else "scan with the phone",
        peg_visits=tuple(peg_visit_rows(site, held, today)),
        record_words=record_words(site, held),
        csv_url=f"/sites/{site.id}/records.csv",
        geojson_url=f"/sites/{site.id}/records.geojson",
        hand_in_url=f"/sites/{site.id}/hand-in",
    )


def _middle_of(standing: StandingSite) -> FloatArray:
    site = standing.site
    places = [(hole.green_x, hole.green_y) for hole in site.holes]
    places += [(thing.x, thing.y) for things in (site.tees, site.pegs) for thing in things]
    return np.asarray(np.median(np.array(places or [(0.0, 0.0)]), axis=0))


def _site_scale(standing: StandingSite) -> float:
    return float(standing.grid.ground_scale_at(_middle_of(standing)))


def _facts(site: Site, grid: CourseGrid) -> tuple[Fact, ...]:
    rules, unit = site.rules, site.units.ground
    return (
        Fact("Course grid", grid_words(grid, unit)),
        Fact("Yardage in", f"{site.units.yardage}s, level, from the tee plate"),
        Fact("On the mark", f"within {ground_words(rules.tolerance_m, unit)}"),
        Fact("Paint points", f"at most {ground_words(rules.spacing_m, unit)} apart"),
    )


def _hole_link(site: Site, hole: Hole) -> HoleLink:
    count = sum(bunker.hole == hole.number for bunker in site.bunkers)
    return HoleLink(
        url=f"/sites/{site.id}/holes/{hole.number}",
        name=f"Hole {hole.number}, {hole.name}" if hole.name else f"Hole {hole.number}",
        words=f"{count} {'bunker' if count == 1 else 'bunkers'}",
    )


def _new_drafts(site: Site, revisions: IssuedAndDrawn) -> Iterator[HoleLink]:
    known = {bunker.id for bunker in site.bunkers}
    for name, number in revisions.drafts.items():
        if name not in known:
            url = f"/sites/{site.id}/bunkers/{name}/issue"
            yield HoleLink(url, f"Issue draft {number} of {name}", "a new bunker, not issued yet")


def _gone(
    standing: StandingSite, held: Sequence[HeldRecord], revisions: IssuedAndDrawn
) -> Iterator[HoleLink]:
    counts = Counter(one.mark.target.bunker for one in marks_not_in_the_plan(held, standing))
    known = [
        bunker for version in (revisions.versions() if counts else ()) for bunker in version.site.bunkers
    ]
    for name, count in counts.items():
        bunker = next((one for one in known if one.id == name), None)
        if bunker is not None:
            marks = "1 mark" if count == 1 else f"{count} marks"
            url = f"/sites/{standing.site.id}/bunkers/{name}/revisions"
            yield HoleLink(url, bunker.name, f"{marks} made, but it is in the plan no more")


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
    standing: StandingSite,
    laid_out: LaidOutBunker,
    held: Sequence[HeldRecord],
    captures: Sequence[HeldCapture],
    convergence_deg: float,
    revisions: IssuedAndDrawn,
) -> BunkerSection:
    site, bunker = standing.site, laid_out.bunker
    scale = hole_scale(standing.grid, site.hole(bunker.hole))
    done = _done(laid_out, held)
    total = sum(len(outline.points.xy) for outline in laid_out.outlines)
    base = f"/sites/{site.id}/set-out/{bunker.id}"
    issued, why = issued_words(bunker.revision, revisions.issue_of(bunker.id, bunker.revision))
    draft = revisions.drafts.get(bunker.id)
    older = old_marks(held, standing, laid_out, revisions.versions)
    against = {one.mark.id: state_words(one, site.units.ground) for one in older}
    figures_tee, figures = drawn_against_planned(site, laid_out, scale)
    return BunkerSection(
        id=bunker.id,
        name=bunker.name,
        hole=bunker.hole,
        revision=bunker.revision,
        issued=issued,
        why=why,
        note=bunker.note,
        near=near_words(site, laid_out, scale),
        drawing=draw_bunker(site, laid_out, done, _doubtful(laid_out, held), scale, convergence_deg),
        progress=f"{sum(map(len, done.values()))} of {total} painted",
        outlines=tuple(
            _outline_row(laid_out, outline, len(done[outline.id]), scale, site.units.ground)
            for outline in laid_out.outlines
        ),
        figures_caption=f"From {figures_tee}, level, on the ground",
        figures=figures,
        marks=tuple(mark_rows(site, laid_out, held, against)),
        old_marks=marks_words(older, bunker.revision),
        twice=tuple(twice_words(laid_out, held)),
        checks=tuple(yardage_check_rows(site, held, bunker.id)),
        captures=tuple(capture_rows(bunker, site.id, captures)),
        set_out_url=base,
        qr_url=f"{base}/qr.svg",
        pegs_url=f"/sites/{site.id}/pegs/{bunker.id}",
        pegs_qr_url=f"/sites/{site.id}/pegs/{bunker.id}/qr.svg",
        hole_url=f"/sites/{site.id}/holes/{bunker.hole}#bunker-{bunker.id}",
        tape_url=f"/sites/{site.id}/bunkers/{bunker.id}",
        drawings=drawing_links(site.id, bunker.id),
        issue_url=f"/sites/{site.id}/bunkers/{bunker.id}/issue" if draft else "",
        issue_words=f"Issue draft {draft}" if draft else "",
    )


def _outline_row(
    laid_out: LaidOutBunker, outline: LaidOutOutline, done: int, scale: float, unit: str
) -> OutlineRow:
    measures = measure(outline.curve)
    area = "–" if measures.area_m2 is None else area_words(measures.area_m2 * scale**2, unit)
    length = ground_words(measures.perimeter_m * scale, unit)
    return OutlineRow(laid_out.called(outline.id), len(outline.points.xy), done, length, area)


def _done(laid_out: LaidOutBunker, held: Sequence[HeldRecord]) -> Numbers:
    return _numbers(laid_out, [mark.target for _, mark in real_marks(held)])


def _doubtful(laid_out: LaidOutBunker, held: Sequence[HeldRecord]) -> Numbers:
    """Return the points whose newest mark is not on the mark or carries a remark."""
    newest = {}
    for item, mark in sorted(real_marks(held), key=lambda pair: pair[1].made_at):
        target = mark.target
        newest[target.bunker, target.outline, target.number, target.revision] = item, mark
    return _numbers(
        laid_out,
        [mark.target for item, mark in newest.values() if item.remarks or mark.verdict == "outside"],
    )


def _numbers(laid_out: LaidOutBunker, targets: Sequence[Target]) -> Numbers:
    """Return the numbers of a bunker's standing revision that are among targets."""
    bunker = laid_out.bunker
    return {
        outline.id: frozenset(
            target.number
            for target in targets
            if (target.bunker, target.outline) == (bunker.id, outline.id)
            and target.revision == bunker.revision
            and 1 <= target.number <= len(outline.points.xy)
        )
        for outline in laid_out.outlines
    }
