"""The web application, made from settings."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager

from anyio.to_thread import current_default_thread_limiter
from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

from fieldapp.server import access, assets, hand_in, pages, presence, problems, records_api, sites_api
from fieldapp.server.security_headers import SecurityHeaders
from fieldapp.settings import Settings
from fieldapp.shipped_files import web_folder
from fieldapp.store.engine import Store, open_store

THREADS = 12
"""Requests worked on at the same moment. One processor and one writer serve them all: more would only share it out."""


def create_app(settings: Settings) -> FastAPI:
    """Return the application on an open store, which it closes when it ends; raises StoreError."""
    store = open_store(settings)
    app = FastAPI(
        title="fieldapp",
        lifespan=_closing(store),
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        redirect_slashes=False,
    )
    app.state.settings = settings
    app.state.store = store
    app.state.assets = assets.Assets(web_folder())
    app.state.presence = presence.Presence()
    for part in (records_api, presence, assets, access, problems, sites_api, hand_in):
        app.include_router(part.router)
    pages.add_pages(app)
    problems.add_problem_answers(app)
    app.add_middleware(access.Door, settings=settings)
    app.add_middleware(GZipMiddleware, compresslevel=6)
    app.add_middleware(problems.ProblemAnswers)
    app.add_middleware(SecurityHeaders)
    return app


def _closing(store: Store) -> Callable[[FastAPI], AbstractAsyncContextManager[None]]:
    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        current_default_thread_limiter().total_tokens = THREADS
        yield
        store.close()

    return lifespan
