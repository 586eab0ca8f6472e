"""The page of the things to keep clear of, built from a site without a request."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

import numpy as np

from fieldapp.formats.moments import moment_words
from fieldapp.formats.site_grid_reading import coordinate_factor
from fieldapp.model import KEEP_CLEAR_KINDS, Hole, KeepClear, Site
from fieldapp.model.keep_clear import EXTENTS
from fieldapp.model.visitor import Visitor
from fieldapp.outline.clearance import nearnesses
from fieldapp.server.hole_drawing import HoleOnGround, draw_hole, fit_around, fit_hole
from fieldapp.server.hole_pages import bunkers_of, choices, ground_of, title_of
from fieldapp.server.keep_clear_contexts import KeepClearPage, PlanView, ThingRow
from fieldapp.server.keep_clear_form import ThingForm, way_names
from fieldapp.server.keep_clear_key import thing_key
from fieldapp.server.plan_sheet import Sheet
from fieldapp.server.tape_words import TapeWords
from fieldapp.workflow.keep_clear import LastChange, near_hole
from fieldapp.workflow.sites import StandingSite

AROUND_M = 15.0
PLAN_WIDTH_PX, PLAN_MOST_HEIGHT_PX = 560.0, 980.0
EXTENT_NAMES = {"point": "a point", "line": "a line", "area": "an area"}
DONE = {"kept": "Kept. It stands on the plans from now on.", "away": "Taken away."}

Places = Sequence[Sequence[float]]


@dataclass(frozen=True)
class Shown:
    """The form that is shown, what is wrong with it, what was just done, who changed the things last, and the bunker
    or the thing that the plan is drawn around, "" for the whole hole.
    """

    form: ThingForm
    faults: tuple[str, ...]
    done: str
    last: LastChange | None
    around: str = ""


def keep_clear_page(
    standing: StandingSite, hole: Hole, shown: Shown, visitor: Visitor, today: date
) -> KeepClearPage:
    """Build the page."""
    site, form = standing.site, shown.form
    ground, on_hole = ground_of(standing, hole), near_hole(standing, hole)
    views = _views(ground, site, form.id)
    around = shown.around if shown.around in views else ""
    sheet = _fit(ground, views[around][1])
    url = f"/sites/{site.id}/holes/{hole.number}/keep-clear"
    words = TapeWords(site.units.ground)
    changing = next((one.name or one.id for one in site.keep_clear if one.id == form.id), "")
    last, again = shown.last, {"around": around} if around else {}

    def row(thing: KeepClear) -> ThingRow:
        return _row(standing, hole, thing, url, form.id, again)

    return KeepClearPage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        title=title_of(hole),
        hole_url=f"/sites/{site.id}/holes/{hole.number}",
        url=url,
        away_url=f"{url}/away",
        dated=f"drawn {today.isoformat()}",
        version=standing.sequence,
        drawing=draw_hole(ground, sheet, things=on_hole.near),
        to_course=_to_course(site, sheet),
        views=tuple(PlanView(key, words, key == around) for key, (words, _) in views.items()),
        around=around,
        things=thing_key(on_hole.near),
        rows=tuple(row(one) for one in on_hole.near),
        elsewhere=tuple(row(one) for one in on_hole.elsewhere),
        form=form,
        changing=changing,
        kinds=choices([(kind, kind) for kind in KEEP_CLEAR_KINDS], form.kind),
        extents=choices([(extent, EXTENT_NAMES[extent]) for extent in EXTENTS], form.extent),
        ways=choices(way_names(site, hole), form.way),
        sign=words.sign,
        faults=shown.faults,
        done=shown.done,
        last_change=f"Last changed by {last.person}, {moment_words(last.at)}." if last else "",
        asks_name=visitor.is_crew,
        may_plan=visitor.may("plan"),
    )


def _views(ground: HoleOnGround, site: Site, chosen: str) -> dict[str, tuple[str, Places]]:
    """Return what the plan may be drawn around: its words and the places it must hold, none for the whole hole."""
    views: dict[str, tuple[str, Places]] = {"": ("Whole hole", ())}
    for bunker in ground.bunkers:
        views[bunker.bunker.id] = f"Around {bunker.bunker.name}", bunker.sand.trace().tolist()
    for thing in site.keep_clear:
        if thing.id == chosen:
            views[thing.id] = f"Around {thing.name or thing.id}", thing.points
    return views


def _fit(ground: HoleOnGround, places: Places) -> Sheet:
    if not places:
        return fit_hole(ground, PLAN_WIDTH_PX, PLAN_MOST_HEIGHT_PX)
    return fit_around(ground, places, AROUND_M, PLAN_WIDTH_PX, PLAN_MOST_HEIGHT_PX)


def _row(
    standing: StandingSite, hole: Hole, thing: KeepClear, url: str, chosen: str, around: dict[str, str]
) -> ThingRow:
    words = TapeWords(standing.site.units.ground)
    near, is_too_near = near_words(standing, hole, thing, words)
    return ThingRow(
        kind=thing.kind,
        name=thing.name or thing.id,
        extent=EXTENT_NAMES[thing.extent],
        clearance=words.with_unit(thing.clearance_m),
        near=near,
        is_too_near=is_too_near,
        note=thing.note,
        change_url=f"{url}?{urlencode({'thing': thing.id} | around)}#thing",
        is_chosen=thing.id == chosen,
    )


def near_words(standing: StandingSite, hole: Hole, thing: KeepClear, words: TapeWords) -> tuple[str, bool]:
    """Say which bunker of a hole comes nearest to a thing, and whether it comes too near."""
    scale = standing.ground_scale(hole.number)
    found = [
        (nearnesses(bunker, [thing], scale)[0], bunker.bunker.name) for bunker in bunkers_of(standing, hole)
    ]
    if not found:
        return "no bunker", False
    nearest, name = min(found, key=lambda one: one[0].distance_m)
    where = "under it" if nearest.distance_m == 0.0 else words.with_unit(nearest.distance_m)
    return f"{name}, {where}", nearest.is_too_near


def _to_course(site: Site, sheet: Sheet) -> str:
    """Return the six numbers that take a place of the sheet to course coordinates as they are typed."""
    factor = float(coordinate_factor(site.units, site.grid))
    corners = np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)])
    origin, east, north = sheet.place(np.array(sheet.centre) + corners)
    forward = np.stack([east - origin, north - origin], axis=1)
    back = np.linalg.inv(forward) / factor
    middle = np.array(sheet.centre) / factor - back @ origin
    rows: Sequence[tuple[float, float, float]] = [(*back[axis], middle[axis]) for axis in (0, 1)]
    return " ".join(repr(float(number)) for row in rows for number in row)
