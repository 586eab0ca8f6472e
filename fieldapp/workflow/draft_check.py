"""What a draft measures, and all that is wrong with it, without keeping anything."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from fieldapp.errors import FieldappError, NotFoundError, SiteFolderError
from fieldapp.formats.site_folder import check_site_text, site_text
from fieldapp.model import Bunker, DrawnShape, Outline, Peg, Tee
from fieldapp.model.draft import Draft
from fieldapp.outline.clearance import Nearness, nearest_peg, nearnesses
from fieldapp.outline.control_points import check_drawable
from fieldapp.outline.curve import build_curve
from fieldapp.outline.drawn_figures import DrawnFigures, drawn_figures
from fieldapp.outline.laid_out import first_tee, lay_out_bunker, sands_words
from fieldapp.outline.measure import measure
from fieldapp.play.line_of_play import line_of_play
from fieldapp.workflow.issuing import with_bunker
from fieldapp.workflow.sites import StandingSite

NO_REVISION = "draft"
"""Stands in for the revision that a draft has not got yet."""


@dataclass(frozen=True)
class DraftFigures:
    """What a draft measures from a tee, all ground metres but `middle`, which is course metres.

    `slant_deg` is its long axis clockwise from play there, from 0 up to 180; `area_m2` is None where its sand edge is
    open. `nearest_peg` is the peg nearest to any of its lines, and how far it is.
    """

    tee: Tee
    drawn: DrawnFigures
    middle: tuple[float, float]
    long_axis_m: float
    short_axis_m: float
    slant_deg: float
    area_m2: float | None
    perimeter_m: float
    nearest_peg: tuple[Peg, float] | None
    clearances: tuple[Nearness, ...]


@dataclass(frozen=True)
class CheckedDraft:
    """What a draft measures, None where it cannot be measured, every fault in words, and what else to know of it."""

    figures: DraftFigures | None
    faults: tuple[str, ...]
    remark: str = ""


def check_draft(standing: StandingSite, draft: Draft, tee_id: str | None) -> CheckedDraft:
    """Measure a draft from a tee, its plan's or its hole's first where none is named, and tell its faults."""
    bunker = replace(draft.bunker, revision=NO_REVISION)
    faults = tuple(_own_faults(standing, bunker, tee_id))
    try:
        figures = _figures(standing, bunker, tee_id)
    except FieldappError as fault:
        return CheckedDraft(None, faults or (str(fault),))
    return CheckedDraft(
        figures, faults or tuple(_site_faults(standing, bunker)), sands_words(bunker.outlines)
    )


def _own_faults(standing: StandingSite, bunker: Bunker, tee_id: str | None) -> Iterator[str]:
    site = standing.site
    if all(hole.number != bunker.hole for hole in site.holes):
        yield f"There is no hole {bunker.hole} on this site."
    for named in dict.fromkeys(name for name in (tee_id, bunker.plan and bunker.plan.tee) if name):
        if all(tee.id != named or tee.hole != bunker.hole for tee in site.tees):
            yield f"There is no tee '{named}' on hole {bunker.hole}; choose one of that hole."
    if not bunker.outlines:
        yield "Nothing is drawn yet; begin with the sand edge."
    elif all(outline.part != "sand edge" for outline in bunker.outlines):
        yield "It has no sand edge; draw one, or say which outline is it."
    for outline in bunker.outlines:
        try:
            check_drawable(_drawn(outline))
            build_curve(_drawn(outline))
        except FieldappError as fault:
            yield f"The {outline.part} '{outline.id}': {fault}"


def _drawn(outline: Outline) -> DrawnShape:
    assert isinstance(outline.shape, DrawnShape), "an outline of a draft is a drawn one"
    return outline.shape


def _site_faults(standing: StandingSite, bunker: Bunker) -> Iterator[str]:
    """Yield what the check of the whole site finds against it."""
    try:
        check_site_text(site_text(with_bunker(standing.site, bunker)))
    except SiteFolderError as fault:
        yield from (f"{mistake.what}; {mistake.remedy}." for mistake in fault.mistakes)


def _figures(standing: StandingSite, bunker: Bunker, tee_id: str | None) -> DraftFigures:
    site, scale = standing.site, standing.ground_scale(bunker.hole)
    if not bunker.outlines:
        raise NotFoundError("Nothing is drawn yet.")
    for outline in bunker.outlines:
        check_drawable(_drawn(outline))
    laid_out = lay_out_bunker(site, bunker, scale)
    named = tee_id or (bunker.plan and bunker.plan.tee)
    tee = site.tee(named) if named else first_tee(site, site.hole(bunker.hole))
    axes = measure(laid_out.sand.curve)
    line = line_of_play(site, tee)
    play_deg = float(line.at(line.locate(np.array(laid_out.middle))[0])[1])
    return DraftFigures(
        tee,
        drawn_figures(site, laid_out, tee, scale),
        laid_out.middle,
        axes.long_axis_m * scale,
        axes.short_axis_m * scale,
        (axes.long_axis_bearing_deg - play_deg) % 180.0,
        None if axes.area_m2 is None else axes.area_m2 * scale**2,
        axes.perimeter_m * scale,
        nearest_peg(laid_out, site.pegs, scale),
        nearnesses(laid_out, site.keep_clear, scale),
    )
