"""A confirmed capture becomes a new revision of its bunker, as a new version of the site."""

from __future__ import annotations

import hashlib
import string
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from fieldapp.errors import ConflictError, SiteFolderError
from fieldapp.formats.site_folder import check_site_text, site_text
from fieldapp.model import Bunker, ControlPoint, DrawnShape, Site
from fieldapp.outline.place import own_frame
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.records import newest_sequence
from fieldapp.store.sites import add_version, standing_version
from fieldapp.workflow.captured_outline import FIGURES
from fieldapp.workflow.captures import KINDS, WorkedCapture, worked_in
from fieldapp.workflow.issued import issue_text
from fieldapp.workflow.sites import versions_in

MOST_TRIES = 5


@dataclass(frozen=True)
class _Ready:
    """A revision ready to be added: the new site's text, what is told of it, and what it was worked out from."""

    revision: str
    text: str
    told: str
    basis: tuple[int, int]


def issue_capture(store: Store, site_id: str, record_id: str, person: str, at: datetime) -> str:
    """Make a capture the next revision of its bunker, which stands from then on; return its letter.

    It is worked out before anything is written, so that nobody's marks wait for it, and once more where the site or the
    captures changed meanwhile. Raises NotFoundError, and ConflictError in words for one that was confirmed already,
    taken back, is practice, was captured over a revision that stands no more, or whose outline the site cannot have.
    """
    for _ in range(MOST_TRIES):
        ready = _made_ready(store, site_id, record_id, person)
        content_id = hashlib.sha256(ready.text.encode()).hexdigest()
        with store.writing() as transaction:
            if _basis(transaction, site_id) == ready.basis:
                add_version(transaction, site_id, content_id, ready.text, at, ready.told)
                return ready.revision
    raise ConflictError("The site changed while this capture was worked out; confirm it once more.")


def _made_ready(store: Store, site_id: str, record_id: str, person: str) -> _Ready:
    with store.reading() as transaction:
        worked = worked_in(transaction, site_id, record_id)
        revision, basis = _revision_in(transaction, worked), _basis(transaction, site_id)
    if worked.refusal or worked.line is None:
        raise ConflictError(f"This capture cannot become a revision. {worked.refusal}")
    text = _checked_text(with_captured(worked, revision), revision)
    return _Ready(
        revision, text, issue_text(record_id, worked.capture.record.bunker, revision, person), basis
    )


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
    issued = replace(bunker, revision=revision, outlines=outlines)
    return replace(site, bunkers=tuple(issued if one.id == bunker.id else one for one in site.bunkers))


def next_revision(standing: str, used: set[str]) -> str:
    """Return the next letters after those that stand, A to Z, then AA, that this bunker never had.

    After a revision that is no capital letters it begins at A.
    """
    letters = string.ascii_uppercase
    known = bool(standing) and all(letter in letters for letter in standing)
    number = _number(standing) if known else 0
    while (candidate := _letters(number + 1)) in used:
        number += 1
    return candidate


def _number(revision: str) -> int:
    number = 0
    for letter in revision:
        number = number * 26 + string.ascii_uppercase.index(letter) + 1
    return number


def _letters(number: int) -> str:
    text = ""
    while number > 0:
        number, rest = divmod(number - 1, 26)
        text = string.ascii_uppercase[rest] + text
    return text


def _revision_in(transaction: Transaction, worked: WorkedCapture) -> str:
    standing = worked.capture.standing
    return next_revision(standing.revision, _used(transaction, worked)) if standing else ""


def _used(transaction: Transaction, worked: WorkedCapture) -> set[str]:
    """Return every revision that this bunker ever had here."""
    wanted = worked.capture.record.bunker
    every = versions_in(transaction, worked.site.site.id)
    return {bunker.revision for version in every for bunker in version.site.bunkers if bunker.id == wanted}


def _own(site: Site, bunker: Bunker, shape: DrawnShape, ground_scale: float) -> DrawnShape:
    """Return a shape in course metres as one about a placed bunker's own centre, ground metres on its own axes."""
    if bunker.place is None:
        return shape
    frame = own_frame(site, bunker.place, ground_scale)
    course = np.array([(point.x, point.y) for point in shape.points])
    own = np.round((course - frame.centre) @ np.linalg.inv(frame.axes), FIGURES)
    points = tuple(ControlPoint(float(x), float(y)) for x, y in own)
    return replace(shape, points=points)


def _checked_text(site: Site, revision: str) -> str:
    """Return the site as text once all that a site folder is checked for holds of it."""
    text = site_text(site)
    try:
        check_site_text(text)
    except SiteFolderError as fault:
        first = fault.mistakes[0]
        raise ConflictError(
            f"The captured outline cannot become revision {revision}: {first.what}; capture it again, or take this "
            "capture back."
        ) from fault
    return text
