"""The desk's page for files of records that phones handed over; it works without JavaScript."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from fieldapp.server.form_files import form_files
from fieldapp.server.page_contexts import HandedInFile, HandInPage
from fieldapp.server.pages import page_answer
from fieldapp.workflow.handed_in import FileTaken, take_in_file
from fieldapp.workflow.phone_clock import Arrival
from fieldapp.workflow.sites import StandingSite, standing_site

MOST_BYTES = 10_000_000
MOST_FILES = 50
MOST_SHOWN = 50
TOO_LARGE = (
    f"More than {MOST_BYTES // 1_000_000} MB came at once, more than a phone hands over; "
    "hand files in one by one, each as the phone wrote it."
)
NO_FILE = "No file was chosen: choose the file that the phone handed over."

router = APIRouter()


async def handed_files(request: Request) -> list[tuple[str, bytes]]:
    """Return the files of a form as names and contents; 413 where they are too large together."""
    return await form_files(request, MOST_BYTES, TOO_LARGE, MOST_FILES)


@router.get("/sites/{site_id}/hand-in")
def hand_in(request: Request, site_id: str) -> Response:
    """Show the form."""
    return page_answer(request, "hand_in.html", _page(standing_site(request.app.state.store, site_id)))


@router.post("/sites/{site_id}/hand-in")
def take_in(
    request: Request, site_id: str, files: Annotated[list[tuple[str, bytes]], Depends(handed_files)]
) -> Response:
    """Take files of records in and show what became of each."""
    store = request.app.state.store
    standing = standing_site(store, site_id)
    visitor = request.state.visitor
    arrival, may_plan = Arrival(datetime.now(UTC), came_by=visitor.came_by), visitor.may("plan")
    taken = [_file(take_in_file(store, name, content, arrival, site_id, may_plan)) for name, content in files]
    return page_answer(request, "hand_in.html", _page(standing, taken, "" if files else NO_FILE))


def _page(standing: StandingSite, taken: Sequence[HandedInFile] = (), fault: str = "") -> HandInPage:
    site = standing.site
    return HandInPage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        hand_in_url=f"/sites/{site.id}/hand-in",
        fault=fault,
        files=tuple(taken),
    )


def _file(taken: FileTaken) -> HandedInFile:
    return HandedInFile(
        words=taken.words,
        whole=taken.whole,
        refused=tuple(refusal.detail for refusal in taken.refused[:MOST_SHOWN]),
        more_refused=len(taken.refused[MOST_SHOWN:]),
        remarks=tuple(remark.detail for remark in taken.remarks[:MOST_SHOWN]),
        more_remarks=len(taken.remarks[MOST_SHOWN:]),
    )
