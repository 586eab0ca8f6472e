"""The page on which the pegs of a bunker are planned: looked at, moved, kept, withdrawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from fieldapp.errors import InputError
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.server.addresses import link
from fieldapp.server.form_body import form_body
from fieldapp.server.pages import page_answer
from fieldapp.server.peg_plan_asking import PlanAsked, read_plan_asked
from fieldapp.server.peg_plan_building import KEPT, TAKEN_BACK, peg_plan_page
from fieldapp.tape.bunker_ground import along_and_offset
from fieldapp.workflow.kept_plans import KeptPeg, keep_plan, kept_plan, name_faults, withdraw
from fieldapp.workflow.peg_planning import BunkerPegs, PegPlanning, PlannedPeg, bunker_pegs, judged, proposed
from fieldapp.workflow.sites import StandingSite, standing_site
from fieldapp.workflow.standing_pegs import pegs_of

UNFIT = 422

router = APIRouter(include_in_schema=False)
Form = Annotated[dict[str, str], Depends(form_body)]


@router.get("/sites/{site_id}/bunkers/{bunker_id}/peg-plan")
def peg_plan(request: Request, site_id: str, bunker_id: str) -> Response:
    """Show the plan that is asked for, else the one that is kept, else one that is proposed."""
    desk = _Desk(request, site_id, bunker_id, request.query_params)
    return desk.page()


@router.post("/sites/{site_id}/bunkers/{bunker_id}/peg-plan")
def keep(request: Request, site_id: str, bunker_id: str, form: Form) -> Response:
    """Keep a plan."""
    desk = _Desk(request, site_id, bunker_id, form)
    if desk.faults():
        return desk.page()
    try:
        keep_plan(
            request.app.state.store,
            desk.standing.site,
            desk.about,
            desk.planning().pegs,
            desk.kept,
            request.state.visitor,
            datetime.now(UTC),
        )
    except InputError as fault:
        desk.asked = replace(desk.asked, faults=(str(fault),))
        return desk.page()
    return _back(request, site_id, bunker_id, KEPT)


@router.post("/sites/{site_id}/bunkers/{bunker_id}/peg-plan/withdraw")
def withdraw_all(request: Request, site_id: str, bunker_id: str) -> Response:
    """Take back all that is kept."""
    return _withdraw(request, site_id, bunker_id, None)


@router.post("/sites/{site_id}/bunkers/{bunker_id}/peg-plan/{record_id}/withdraw")
def withdraw_one(request: Request, site_id: str, bunker_id: str, record_id: str) -> Response:
    """Take back one planned peg."""
    return _withdraw(request, site_id, bunker_id, record_id)


class _Desk:
    """A bunker's plan as it is asked for by a query or a form."""

    def __init__(self, request: Request, site_id: str, bunker_id: str, query: Mapping[str, str]) -> None:
        self._request = request
        self._done = query.get("done", "")
        store = request.app.state.store
        self.standing: StandingSite = standing_site(store, site_id)
        self.standing.site.bunker(bunker_id)
        self.asked: PlanAsked = read_plan_asked(self.standing.site.units.ground, query)
        self._pegs: Sequence[StandingPeg] = pegs_of(store, self.standing.site)
        self.kept: Sequence[KeptPeg] = kept_plan(self._pegs, bunker_id)
        self.about: BunkerPegs = bunker_pegs(
            self.standing, bunker_id, self._pegs, self.asked.margin_m, self.asked.counts_standing
        )

    def faults(self) -> list[str]:
        """Say what cannot be read, and which names cannot be."""
        return [*self.asked.faults, *name_faults(self.about, self.asked.pegs or ())]

    def planning(self) -> PegPlanning:
        """Return what is asked for; raises InputError where nothing can be proposed."""
        if self.asked.pegs is not None:
            return judged(self.about, self.asked.pegs)
        if self.kept and not self.asked.proposes:
            return judged(self.about, [_kept_peg(self.about, one) for one in self.kept])
        return proposed(self.about, self.asked.count)

    def page(self) -> Response:
        """Draw the page, of no pegs where none can be proposed."""
        faults = self.faults()
        try:
            planning = self.planning()
        except InputError as fault:
            faults.append(str(fault))
            planning = judged(self.about, ())
        may_plan = self._request.state.visitor.may("plan")
        today = datetime.now(UTC).date()
        page = peg_plan_page(
            self.standing, self.asked, faults, planning, self.kept, may_plan, today, self._done
        )
        answer = page_answer(self._request, "peg_plan.html", page)
        answer.status_code = UNFIT if faults else 200
        return answer


def _kept_peg(about: BunkerPegs, one: KeptPeg) -> PlannedPeg:
    report, scale = one.report, about.points.scale
    assert report.x is not None
    assert report.y is not None
    along, offset = along_and_offset(about.points, (report.x * scale, report.y * scale)).tolist()
    return PlannedPeg(report.peg, along, offset)


def _withdraw(request: Request, site_id: str, bunker_id: str, record_id: str | None) -> Response:
    store = request.app.state.store
    site = standing_site(store, site_id).site
    site.bunker(bunker_id)
    kept = kept_plan(pegs_of(store, site), bunker_id)
    withdraw(store, site, kept, record_id, request.state.visitor, datetime.now(UTC))
    return _back(request, site_id, bunker_id, TAKEN_BACK)


def _back(request: Request, site_id: str, bunker_id: str, done: str) -> RedirectResponse:
    path = f"/sites/{site_id}/bunkers/{bunker_id}/peg-plan?done={done}"
    return RedirectResponse(link(request, path), status_code=303)
