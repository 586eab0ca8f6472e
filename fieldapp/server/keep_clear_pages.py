"""The page on which a hole's things to keep clear of are drawn, typed and taken away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from fieldapp.errors import InputError, NotFoundError, StaleError
from fieldapp.model import Hole, KeepClear
from fieldapp.server.addresses import link
from fieldapp.server.form_body import form_body
from fieldapp.server.hole_asking import hole_of
from fieldapp.server.keep_clear_building import DONE, Shown, keep_clear_page
from fieldapp.server.keep_clear_form import ThingForm, form_of, read_form, typed_form
from fieldapp.server.pages import page_answer
from fieldapp.server.signing import signed_by
from fieldapp.workflow.drafting import Basis
from fieldapp.workflow.keep_clear import Things, last_change, set_keep_clear
from fieldapp.workflow.sites import StandingSite, standing_site

UNFIT, STALE = 422, 412
NO_NAME = "Type your name: the site keeps who changed it."
GONE = "The thing that you were changing is not there any more; keep it as a new one, or leave it."
BLANK = ThingForm("", "drain", "", "line", "", "xy", "", "")

router = APIRouter(include_in_schema=False)
Form = Annotated[dict[str, str], Depends(form_body)]


@router.get("/sites/{site_id}/holes/{hole}/keep-clear")
def things(request: Request, site_id: str, hole: str) -> Response:
    """Show a hole's things, and the form of one of them, of a new one, or as it was typed before another view."""
    query = request.query_params
    desk = _Desk(request, site_id, hole, query.get("around", ""))
    if "points" in query:
        typed = typed_form(query)
        is_gone = bool(typed.id) and desk.thing(typed.id) is None
        return desk.page(replace(typed, id=""), (GONE,)) if is_gone else desk.page(typed)
    wanted = query.get("thing", "")
    chosen = desk.thing(wanted)
    if wanted and chosen is None:
        raise NotFoundError(f"Site '{site_id}' has nothing to keep clear of called '{wanted[:60]}'.")
    form = BLANK if chosen is None else form_of(desk.standing.site, chosen)
    return desk.page(form, done=DONE.get(query.get("done", ""), ""))


@router.post("/sites/{site_id}/holes/{hole}/keep-clear")
def keep(request: Request, site_id: str, hole: str, form: Form) -> Response:
    """Keep a thing as it was typed, a new one or one that stands."""
    desk, typed = _Desk(request, site_id, hole, form.get("view", "")), typed_form(form)
    before = desk.thing(typed.id)
    if typed.id and before is None:
        return desk.page(replace(typed, id=""), (GONE,), STALE)
    scale = desk.standing.ground_scale(desk.hole.number)
    read = read_form(desk.standing.site, desk.hole, typed, before, scale)
    if read.thing is None:
        return desk.page(typed, read.faults, UNFIT)
    return desk.keep(typed, form, _put(desk.standing.site.keep_clear, read.thing), "kept")


@router.post("/sites/{site_id}/holes/{hole}/keep-clear/away")
def take_away(request: Request, site_id: str, hole: str, form: Form) -> Response:
    """Take a thing away."""
    desk, typed = _Desk(request, site_id, hole, form.get("view", "")), typed_form(form)
    rest = tuple(thing for thing in desk.standing.site.keep_clear if thing.id != typed.id)
    if len(rest) == len(desk.standing.site.keep_clear):
        return desk.page(replace(typed, id=""), (GONE,), STALE)
    return desk.keep(typed, form, rest, "away")


class _Desk:
    """A hole whose things are looked at or changed; the plan is drawn `around` one of them, or a bunker."""

    def __init__(self, request: Request, site_id: str, hole: str, around: str) -> None:
        self._request, self._around = request, around
        self._store = request.app.state.store
        self.standing: StandingSite = standing_site(self._store, site_id)
        self.hole: Hole = hole_of(self.standing.site, hole)

    def thing(self, wanted: str) -> KeepClear | None:
        """Return the thing of an id; None where there is none."""
        return next((thing for thing in self.standing.site.keep_clear if thing.id == wanted), None)

    def keep(self, typed: ThingForm, form: Mapping[str, str], wanted: Things, done: str) -> Response:
        """Keep all things as they are to be, or show the page with what was typed and why not."""
        person, now = signed_by(self._request.state.visitor, typed.person), datetime.now(UTC)
        if not person:
            return self.page(typed, (NO_NAME,), UNFIT)
        basis = Basis(numbers=frozenset({form.get("version", "")}))
        site_id = self.standing.site.id
        try:
            set_keep_clear(self._store, site_id, wanted, person, basis, now)
        except StaleError as fault:
            self.standing = standing_site(self._store, site_id)
            return self.page(typed, (str(fault),), STALE)
        except InputError as fault:
            return self.page(typed, (str(fault),), UNFIT)
        query = {"done": done} | ({"around": self._around} if self._around else {})
        path = f"/sites/{site_id}/holes/{self.hole.number}/keep-clear?{urlencode(query)}"
        return RedirectResponse(link(self._request, path), status_code=303)

    def page(
        self, form: ThingForm, faults: tuple[str, ...] = (), status: int = 200, done: str = ""
    ) -> Response:
        """Draw the page."""
        shown = Shown(form, faults, done, last_change(self._store, self.standing.site.id), self._around)
        visitor, today = self._request.state.visitor, datetime.now(UTC).date()
        page = keep_clear_page(self.standing, self.hole, shown, visitor, today)
        answer = page_answer(self._request, "keep_clear.html", page)
        answer.status_code = status
        return answer


def _put(standing: Things, thing: KeepClear) -> Things:
    """Return the things with one in the place of the one of its id, or after the others."""
    if all(one.id != thing.id for one in standing):
        return (*standing, thing)
    return tuple(thing if one.id == thing.id else one for one in standing)
