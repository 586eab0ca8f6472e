"""The pages on which a site is made or changed, part by part, and loaded once it is whole."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from fieldapp.errors import ConflictError, InputError, NotFoundError
from fieldapp.formats.site_draft import Tables
from fieldapp.server.addresses import link
from fieldapp.server.form_body import bounded_form
from fieldapp.server.pages import page_answer
from fieldapp.server.site_edit_building import PART_NAMES, edit_page, next_way, part_url
from fieldapp.server.site_edit_contexts import EditPart, Fault, Field, FieldRow
from fieldapp.server.site_part_facts import facts_fields, levels_fields, read_facts, read_levels
from fieldapp.server.site_part_grid import grid_fields, read_grid_form
from fieldapp.server.site_part_hole import click_plan, hole_fields, hole_index, read_hole
from fieldapp.server.site_part_pegs import peg_rows, read_pegs
from fieldapp.server.site_part_rows import hole_rows, read_holes, read_tees, tee_rows, with_room_for
from fieldapp.server.site_typing import SiteGround
from fieldapp.server.site_worth import grid_worth
from fieldapp.settings import is_this_machine
from fieldapp.workflow.site_drafts import (
    OpenedAt,
    StandingDraft,
    draft_of,
    drop_draft,
    load_draft,
    save_part,
    tables_at,
)
from fieldapp.workflow.site_places import places_read

UNFIT, MET_ANOTHER = 422, 409
LARGEST_FORM = 500_000
MOST_FIELDS = 5_000

router = APIRouter(include_in_schema=False)
Reader = Callable[[SiteGround, Mapping[str, str]], tuple[Tables, list[Fault]]]


async def _form(request: Request) -> dict[str, str]:
    return await bounded_form(request, LARGEST_FORM, MOST_FIELDS)


Form = Annotated[dict[str, str], Depends(_form)]


@dataclass(frozen=True)
class Part:
    """A part of a site: how its form is built and read, and which tables it is about."""

    rows: Callable[[SiteGround], tuple[FieldRow, ...]]
    read: Reader
    keys: tuple[str, ...]
    lead: str = ""
    told: Callable[[SiteGround], tuple[str, ...]] = lambda _ground: ()


PARTS = {
    "facts": Part(facts_fields, read_facts, ("name", "note", "units")),
    "grid": Part(
        grid_fields,
        read_grid_form,
        ("grid", "note"),
        "How x and y of the course lie on the earth, so that a phone can lead people to them. Choose one of three "
        "ways.",
        grid_worth,
    ),
    "pegs": Part(
        peg_rows,
        read_pegs,
        ("peg",),
        "Marks in the ground that stay. They can be left out, but tapes, strings and check-ins hang on them.",
    ),
    "tees": Part(
        tee_rows,
        read_tees,
        ("tee",),
        "The plates that yardages start from. The first tee of a hole is the one its paint points are numbered from.",
    ),
    "levels": Part(levels_fields, read_levels, ("spot_levels",)),
}
HOLES_LEAD = (
    "Number and name of each hole. Then open a hole to give its green, line of play and fairway their places."
)


@router.get("/sites/{site_id}/edit")
def edit(request: Request, site_id: str) -> Response:
    """Show a site being made or changed: its parts, and what it lacks."""
    return _overview(request, site_id)


@router.post("/sites/{site_id}/edit/load")
def load(request: Request, site_id: str, form: Form) -> Response:
    """Load the draft: it becomes the site that stands."""
    try:
        load_draft(request.app.state.store, site_id, _number(form), _person(request), datetime.now(UTC))
    except (InputError, ConflictError) as fault:
        return _overview(
            request, site_id, str(fault), UNFIT if isinstance(fault, InputError) else MET_ANOTHER
        )
    return RedirectResponse(link(request, f"/sites/{site_id}"), status_code=303)


@router.post("/sites/{site_id}/edit/drop")
def drop(request: Request, site_id: str, form: Form) -> Response:
    """Give the draft up."""
    store = request.app.state.store
    was_new = draft_of(store, site_id).is_new
    try:
        drop_draft(store, site_id, _number(form), _person(request), datetime.now(UTC))
    except ConflictError as fault:
        return _overview(request, site_id, str(fault), MET_ANOTHER)
    return RedirectResponse(link(request, "/sites/new" if was_new else f"/sites/{site_id}"), status_code=303)


@router.get("/sites/{site_id}/edit/holes/{hole}")
def one_hole(request: Request, site_id: str, hole: int) -> Response:
    """Show the form of one hole."""
    return _Sheet(request, site_id, f"holes/{hole}", _hole_part(hole), hole).page()


@router.post("/sites/{site_id}/edit/holes/{hole}")
def save_hole(request: Request, site_id: str, hole: int, form: Form) -> Response:
    """Save one hole."""
    return _Sheet(request, site_id, f"holes/{hole}", _hole_part(hole), hole).save(form)


@router.get("/sites/{site_id}/edit/{part}")
def one_part(request: Request, site_id: str, part: str) -> Response:
    """Show the form of a part."""
    return _Sheet(request, site_id, part, _part(site_id, part)).page()


@router.post("/sites/{site_id}/edit/{part}")
def save_one_part(request: Request, site_id: str, part: str, form: Form) -> Response:
    """Save a part."""
    return _Sheet(request, site_id, part, _part(site_id, part)).save(form)


class _Sheet:
    """One form of a site being made: shown as it stands, saved, or shown again as it was typed."""

    def __init__(
        self, request: Request, site_id: str, name: str, part: Part, hole: int | None = None
    ) -> None:
        self._request, self._site_id, self._name, self._part, self._hole = request, site_id, name, part, hole
        self._store = request.app.state.store
        self._draft: StandingDraft = draft_of(self._store, site_id)
        self._places = places_read(self._store, site_id)
        if hole is not None:
            hole_index(self._draft.tables, hole)

    def page(self) -> Response:
        """Show the part as it stands."""
        ground = SiteGround(self._draft.tables, self._places)
        said = f"Saved ({self._draft.number})." if self._request.query_params.get("saved") else ""
        return page_answer(
            self._request, "site_edit_part.html", self._context(ground, self._part.rows(ground), said=said)
        )

    def save(self, form: Mapping[str, str]) -> Response:
        """Save what was typed, or show it again with what cannot be read, or whom it met."""
        opened = _opened_at(form)
        ground = SiteGround(self._draft.tables, self._places)
        tables, faults = self._part.read(ground, form)
        if faults:
            return self._again(form, faults, UNFIT, opened)
        keys = [key for key in {**ground.tables, **tables} if ground.tables.get(key) != tables.get(key)]
        try:
            save_part(
                self._store,
                self._site_id,
                [*{*self._part.keys, *keys}],
                tables,
                opened,
                _person(self._request),
                datetime.now(UTC),
            )
        except ConflictError as fault:
            return self._again(
                form,
                [Fault("", str(fault))],
                MET_ANOTHER,
                opened,
                draft_of(self._store, self._site_id).opened_at,
            )
        return RedirectResponse(
            link(self._request, f"{part_url(self._site_id, self._name)}?saved=yes"), status_code=303
        )

    def _again(
        self,
        form: Mapping[str, str],
        faults: list[Fault],
        status: int,
        opened: OpenedAt,
        shown: OpenedAt | None = None,
    ) -> Response:
        at_opening = tables_at(self._store, self._site_id, opened) or self._draft.tables
        ground = SiteGround(with_room_for(at_opening, form), self._places)
        rows = tuple(_typed_row(row, form) for row in self._part.rows(ground))
        context = self._context(ground, rows, tuple(faults), shown or opened)
        answer = page_answer(self._request, "site_edit_part.html", context)
        answer.status_code = status
        return answer

    def _context(
        self,
        ground: SiteGround,
        rows: tuple[FieldRow, ...],
        faults: tuple[Fault, ...] = (),
        opened: OpenedAt | None = None,
        said: str = "",
    ) -> EditPart:
        draft = self._draft
        return EditPart(
            site_name=draft.name,
            site_id=draft.site_id,
            is_new=draft.is_new,
            title=PART_NAMES.get(self._name, f"Hole {self._hole}"),
            lead=self._part.lead,
            url=part_url(draft.site_id, self._name),
            opened_at=_opened_words(opened or draft.opened_at),
            rows=rows,
            faults=faults,
            said=said,
            told=self._part.told(ground),
            next_way=next_way(draft) if said else None,
            plan=None if self._hole is None else click_plan(ground, self._hole),
        )


def _part(site_id: str, name: str) -> Part:
    if name == "holes":
        return Part(lambda ground: hole_rows(ground, site_id), read_holes, ("hole", "tee"), HOLES_LEAD)
    if name not in PARTS:
        raise NotFoundError(f"A site has no part '{name[:40]}'; there are: {', '.join(PART_NAMES)}.")
    return PARTS[name]


def _hole_part(hole: int) -> Part:
    return Part(
        lambda ground: hole_fields(ground, hole),
        lambda ground, form: read_hole(ground, hole, form),
        ("hole",),
    )


def _typed_row(row: FieldRow, form: Mapping[str, str]) -> FieldRow:
    """Return a row with what was typed in the place of what stands."""
    choice = replace(row.choice, value=form.get(row.choice.name, "")) if row.choice else None
    return replace(row, fields=tuple(_typed(one, form) for one in row.fields), choice=choice)


def _typed(one: Field, form: Mapping[str, str]) -> Field:
    return replace(one, value=form.get(one.name, one.value if one.kind == "hidden" else ""))


def _overview(request: Request, site_id: str, fault: str = "", status: int = 200) -> Response:
    store = request.app.state.store
    page = edit_page(
        draft_of(store, site_id),
        places_read(store, site_id),
        is_this_machine(request.url.hostname or ""),
        fault,
    )
    answer = page_answer(request, "site_edit.html", page)
    answer.status_code = status
    return answer


def _number(form: Mapping[str, str]) -> int:
    """Return the save a form was opened at; raises InputError."""
    text = form.get("number", "")
    if not text.isdecimal() or len(text) > 9:
        raise InputError("The form does not say at which save it was opened; open the page again.")
    return int(text)


def _opened_at(form: Mapping[str, str]) -> OpenedAt:
    """Return what a form was filled from, as `_opened_words` wrote it; raises InputError."""
    number, _, version = form.get("number", "").partition("-")
    return OpenedAt(_number({"number": number}), _number({"number": version}) if version else None)


def _opened_words(opened: OpenedAt) -> str:
    return f"{opened.number}" if opened.version is None else f"{opened.number}-{opened.version}"


def _person(request: Request) -> str:
    return str(request.state.visitor.name)
