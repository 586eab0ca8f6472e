"""The pages people see: sites, one site, the shell of the phone page, a refusal."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from functools import partial
from http import HTTPStatus

import segno
from fastapi import APIRouter, FastAPI, Request, Response
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from fieldapp.server.addresses import link
from fieldapp.server.enter_form import ENTER
from fieldapp.server.enter_pasted import way_asked
from fieldapp.server.offline import shell
from fieldapp.server.page_contexts import HoleLink, ProblemPage, SitesPage
from fieldapp.server.revision_words import IssuedAndDrawn
from fieldapp.server.site_pages import site_card, site_page
from fieldapp.settings import is_this_machine
from fieldapp.store.drafts import newest_drafts
from fieldapp.store.engine import Store
from fieldapp.store.issues import issues_of
from fieldapp.workflow.captures import captures_of
from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.site_drafts import StandingDraft, open_drafts
from fieldapp.workflow.sites import every_version, standing_site, standing_sites

router = APIRouter()

NOT_KEPT = {"cache-control": "no-cache"}


def add_pages(app: FastAPI) -> None:
    """Give the application its pages and its picture of a refusal; `app.state.assets` must be there."""
    add_templates(app)
    app.router.routes.extend(router.routes)


def add_templates(app: FastAPI) -> None:
    """Give an application what draws pages and refusals; `app.state.assets` must be there."""
    templates = Environment(
        loader=FileSystemLoader(app.state.assets.folder / "templates"),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    app.state.templates = templates
    app.state.problem_page = problem_page
    app.state.draw_page = page_answer


def problem_page(request: Request, status: HTTPStatus, title: str, detail: str) -> Response:
    """Draw a refusal for a person; to one who was not let in it offers to paste an invitation link."""
    is_in = getattr(request.state, "visitor", None) is not None
    asks_link = status is HTTPStatus.UNAUTHORIZED
    page = ProblemPage(title, detail, is_in, asks_link, ENTER, way_asked(request) if asks_link else "/")
    answer = page_answer(request, "problem.html", page)
    answer.status_code = int(status)
    return answer


@router.get("/")
def sites(request: Request) -> Response:
    """List the sites."""
    store = request.app.state.store
    cards = tuple(
        site_card(standing, held_records_of(store, standing.site.id)) for standing in standing_sites(store)
    )
    waiting = tuple(map(_waiting, open_drafts(store))) if request.state.visitor.may("plan") else ()
    return page_answer(request, "sites.html", SitesPage(cards, waiting))


def _waiting(draft: StandingDraft) -> HoleLink:
    words = "begun, not loaded yet" if draft.is_new else "changes that are not loaded yet"
    return HoleLink(f"/sites/{draft.site_id}/edit", draft.name, words)


@router.get("/sites/{site_id}")
def site(request: Request, site_id: str) -> Response:
    """Show one site: its plan, its bunkers, its record."""
    store = request.app.state.store
    standing = standing_site(store, site_id)
    today = datetime.now(UTC).date()
    held = held_records_of(store, site_id)
    only_here = is_this_machine(request.url.hostname or "")
    revisions = issued_and_drawn(store, site_id, request.state.visitor.may("plan"))
    page = site_page(standing, held, captures_of(store, standing, held), today, only_here, revisions)
    return page_answer(request, "site.html", page)


def issued_and_drawn(store: Store, site_id: str, may_plan: bool) -> IssuedAndDrawn:
    """Return what was issued of a site, and its open drafts where whoever asks may issue them."""
    with store.reading() as transaction:
        issues = issues_of(transaction, site_id)
        kept = newest_drafts(transaction, site_id) if may_plan else []
    drafts = {one.bunker_id: one.number for one in kept if one.state == "open"}
    return IssuedAndDrawn(issues, drafts, partial(every_version, store, site_id))


@router.get("/sites/{site_id}/set-out/{bunker_id}")
def set_out(request: Request, site_id: str, bunker_id: str) -> Response:
    """Show the phone page of one bunker."""
    standing_site(request.app.state.store, site_id).site.bunker(bunker_id)
    return shell(request, "set-out")


@router.get("/sites/{site_id}/set-out/{bunker_id}/qr.svg")
def set_out_qr(request: Request, site_id: str, bunker_id: str) -> Response:
    """Draw the QR code of a bunker's phone page at the address this page was asked at."""
    standing_site(request.app.state.store, site_id).site.bunker(bunker_id)
    return code_of_page(request)


@router.get("/sites/{site_id}/pegs/{bunker_id}")
def pegs(request: Request, site_id: str, bunker_id: str) -> Response:
    """Show the phone page of pegs and tape of one bunker."""
    standing_site(request.app.state.store, site_id).site.bunker(bunker_id)
    return shell(request, "pegs")


@router.get("/sites/{site_id}/pegs/{bunker_id}/qr.svg")
def pegs_qr(request: Request, site_id: str, bunker_id: str) -> Response:
    """Draw the QR code of a bunker's page of pegs and tape, likewise."""
    standing_site(request.app.state.store, site_id).site.bunker(bunker_id)
    return code_of_page(request)


@router.get("/field/{site_id}/qr.svg")
def field_qr(request: Request, site_id: str) -> Response:
    """Draw the QR code of the phone's own page of a site, likewise."""
    standing_site(request.app.state.store, site_id)
    return code_of_page(request)


def code_of_page(request: Request) -> Response:
    """Draw the QR code of the page whose address with /qr.svg behind was asked for."""
    address = str(request.url).removesuffix("/qr.svg")
    drawn = io.BytesIO()
    segno.make(address, error="m").save(drawn, kind="svg", border=2, scale=4, dark="#0d1a12", light="#ffffff")
    return Response(drawn.getvalue(), media_type="image/svg+xml", headers=NOT_KEPT)


def page_answer(request: Request, template: str, page: object) -> HTMLResponse:
    """Draw a page from its template and its context."""

    def linked(path: str) -> str:
        return link(request, path)

    def static(name: str) -> str:
        return link(request, request.app.state.assets.static_url(name))

    visitor = getattr(request.state, "visitor", None)
    drawn = request.app.state.templates.get_template(template).render(
        page=page, link=linked, static=static, visitor=visitor
    )
    return HTMLResponse(drawn, headers=NOT_KEPT)
