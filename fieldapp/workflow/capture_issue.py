"""A confirmed capture becomes a new revision of its bunker, as a new version of the site."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from fieldapp.errors import ConflictError
from fieldapp.model import Bunker, ControlPoint, DrawnShape, Site
from fieldapp.outline.place import own_frame
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.issues import Issue
from fieldapp.store.records import newest_sequence
from fieldapp.store.sites import standing_version
from fieldapp.workflow.captured_outline import FIGURES
from fieldapp.workflow.captures import KINDS, WorkedCapture, worked_in
from fieldapp.workflow.issuing import (
    add_revision,
    checked_text,
    next_revision,
    used_revisions,
    with_bunker,
)

MOST_TRIES = 5


@dataclass(frozen=True)
class _Ready:
    """A revision ready to be added: the new site's text, its bunker, and what it was worked out from."""

    revision: str
    text: str
    bunker: str
    basis: tuple[int, int]


def issue_capture(store: Store, site_id: str, record_id: str, person: str, at: datetime) -> str:
    """Make a capture the next revision of its bunker, which stands from then on; return its letter.

    It is worked out before anything is written, so that nobody's marks wait for it, and once more where the site or the
    captures changed meanwhile. Raises NotFoundError, and ConflictError in words for one that was confirmed already,
    taken back, is practice, was captured over a revision that stands no more, or whose outline the site cannot have.
    """
    for _ in range(MOST_TRIES):
        ready = _made_ready(store, site_id, record_id)
        came_from = f"capture {record_id}"
        issue = Issue(site_id, ready.bunker, ready.revision, 0, came_from, person, "", at)
        with store.writing() as transaction:
            if _basis(transaction, site_id) == ready.basis:
                add_revision(transaction, ready.text, issue)
                return ready.revision
    raise ConflictError("The site changed while this capture was worked out; confirm it once more.")


def _made_ready(store: Store, site_id: str, record_id: str) -> _Ready:
    with store.reading() as transaction:
        worked = worked_in(transaction, site_id, record_id)
        revision, basis = _revision_in(transaction, worked), _basis(transaction, site_id)
    if worked.refusal or worked.line is None:
        raise ConflictError(f"This capture cannot become a revision. {worked.refusal}")
    text = checked_text(
        with_captured(worked, revision),
        f"The captured outline cannot become revision {revision}",
        "capture it again, or take this capture back",
    )
    return _Ready(revision, text, worked.capture.record.bunker, basis)


def _basis(transaction: Transaction, site_id: str) -> tuple[int, int]:
    """Return the newest version of the site, and the newest record that a capture is worked out from."""
    standing = standing_version(transaction, site_id)
    return standing.sequence if standing else 0, newest_sequence(transaction, site_id, KINDS)


def revision_after(store: Store, worked: WorkedCapture) -> str:
    """Return the revision that a capture would become now; "" where its bunker is gone."""
    with store.reading() as transaction:
        return _revision_in(transaction, worked)


def with_captured(worked: WorkedCapture, revision: str) -> Site:
    """Return the site with the captured outline in its bunker's next revision, in the bunker's own axes if any."""
    site, record = worked.site.site, worked.capture.record
    bunker = site.bunker(record.bunker)
    assert worked.line is not None
    shape = _own(site, bunker, worked.line.shape, worked.ground_scale)
    outlines = tuple(
        replace(outline, shape=shape) if outline.id == record.outline else outline
        for outline in bunker.outlines
    )
    return with_bunker(site, replace(bunker, revision=revision, outlines=outlines))


def _revision_in(transaction: Transaction, worked: WorkedCapture) -> str:
    standing = worked.capture.standing
    if standing is None:
        return ""
    return next_revision(standing.revision, used_revisions(transaction, worked.site.site.id, standing.id))


def _own(site: Site, bunker: Bunker, shape: DrawnShape, ground_scale: float) -> DrawnShape:
    """Return a shape in course metres as one about a placed bunker's own centre, ground metres on its own axes."""
    if bunker.place is None:
        return shape
    frame = own_frame(site, bunker.place, ground_scale)
    course = np.array([(point.x, point.y) for point in shape.points])
    own = np.round((course - frame.centre) @ np.linalg.inv(frame.axes), FIGURES)
    points = tuple(ControlPoint(float(x), float(y)) for x, y in own)
    return replace(shape, points=points)
