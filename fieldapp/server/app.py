"""The web application, made from settings."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial

from anyio.to_thread import current_default_thread_limiter
from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

from fieldapp.server import (
    assets,
    backdrop_pages,
    backdrops_api,
    baseline_pages,
    board_pages,
    capture_pages,
    compare_pages,
    description,
    drafts_api,
    drawing_out,
    enter_pages,
    enter_pasted,
    hand_in,
    hole_pages,
    import_pages,
    imports_api,
    issue_pages,
    keep_clear_api,
    keep_clear_pages,
    offline,
    pages,
    peg_pages,
    peg_plan_pages,
    people_pages,
    photos_api,
    presence,
    problems,
    proxy,
    records_api,
    revision_pages,
    set_out_sheet_pages,
    sheet_pages,
    sight_pages,
    site_edit_pages,
    site_new_pages,
    site_places_pages,
    sites_api,
    tie_pages,
    trust_pages,
)
from fieldapp.server.done_together import DoneTogether
from fieldapp.server.door import Door
from fieldapp.server.security_headers import SecurityHeaders
from fieldapp.server.sign_in_limit import SignInLimit
from fieldapp.server.told_since import answer_all
from fieldapp.settings import Settings
from fieldapp.shipped_files import web_folder
from fieldapp.store.engine import open_store
from fieldapp.workflow.backdrops import Pictures
from fieldapp.workflow.imports import Imports
from fieldapp.workflow.taking_in import take_in_all

THREADS = 12
"""Requests worked on at the same moment. One processor and one writer serve them all: more would only share it out."""

PARTS = (
    offline,
    assets,
    enter_pages,
    enter_pasted,
    people_pages,
    description,
    problems,
    sites_api,
    records_api,
    photos_api,
    drafts_api,
    keep_clear_api,
    presence,
    hand_in,
    hole_pages,
    board_pages,
    capture_pages,
    issue_pages,
    revision_pages,
    compare_pages,
    sight_pages,
    sheet_pages,
    keep_clear_pages,
    set_out_sheet_pages,
    peg_pages,
    peg_plan_pages,
    tie_pages,
    baseline_pages,
    drawing_out,
    site_new_pages,
    site_edit_pages,
    site_places_pages,
    trust_pages,
    imports_api,
    import_pages,
    backdrops_api,
    backdrop_pages,
)


def create_app(settings: Settings, trust: trust_pages.Trust | None = None) -> FastAPI:
    """Return the application on an open store, which it closes when it ends; raises StoreError.

    `trust` is what phones are to trust where the server has its own authority.
    """
    store = open_store(settings)
    app = FastAPI(
        title="fieldapp",
        lifespan=_closing,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        redirect_slashes=False,
    )
    app.state.settings = settings
    app.state.store = store
    app.state.sign_in_limit = SignInLimit()
    app.state.assets = assets.Assets(web_folder())
    app.state.taking_in = DoneTogether(partial(take_in_all, store))
    app.state.asking = DoneTogether(partial(answer_all, store))
    app.state.presence = presence.Presence()
    app.state.trust = trust
    app.state.imports = Imports(settings)
    app.state.pictures = Pictures(settings)
    app.state.imports.clear()
    for part in PARTS:
        app.router.routes.extend(part.router.routes)
    pages.add_pages(app)
    problems.add_problem_answers(app)
    app.add_middleware(Door, settings=settings, store=store)
    app.add_middleware(GZipMiddleware, compresslevel=6)
    app.add_middleware(problems.ProblemAnswers)
    app.add_middleware(SecurityHeaders)
    proxy.add_way(app, settings.way)
    return app


@asynccontextmanager
async def _closing(app: FastAPI) -> AsyncIterator[None]:
    current_default_thread_limiter().total_tokens = THREADS
    yield
    app.state.imports.close()
    app.state.store.close()
