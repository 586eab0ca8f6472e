"""Captures of a site: what stands of each, worked out from its record, and whether it can become a revision."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import FieldappError, NotFoundError, OutlineError
from fieldapp.model import Bunker, Capture, HeldRecord
from fieldapp.outline.curve import Curve
from fieldapp.outline.laid_out import LaidOutBunker, LaidOutOutline
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.issues import Issue, issues_of
from fieldapp.store.records import held_records
from fieldapp.tape.bunker_points import site_square_unit_m
from fieldapp.tape.captured_crossing import crossing_ways
from fieldapp.tape.likeness import Likeness, likeness
from fieldapp.workflow.captured_outline import CapturedOutline, measured_places, work_out
from fieldapp.workflow.sites import StandingSite, standing_in, versions_in

FloatArray = NDArray[np.float64]

KINDS = ("capture", "check_in", "trial", "undo")
State = Literal["waits", "confirmed", "superseded", "taken back", "practice", "cannot"]


@dataclass(frozen=True, eq=False)
class HeldCapture:
    """A capture as it is held: `issue` says which revision it became, None where nobody confirmed it.

    `standing` is the bunker as it stands, None where the site has none of that id.
    """

    held: HeldRecord
    record: Capture
    issue: Issue | None
    standing: Bunker | None

    @property
    def state(self) -> State:
        """What stands in the way of confirming it, as far as that shows without working it out."""
        if self.issue is not None:
            return "confirmed"
        if self.held.undone_by is not None:
            return "taken back"
        if not self.record.real:
            return "practice"
        if self.standing is None:
            return "cannot"
        return "waits" if self.standing.revision == self.record.revision else "superseded"


@dataclass(frozen=True, eq=False)
class WorkedCapture:
    """A capture worked out, beside the outline it was captured over: `old` is None where that never was here.

    `line` is None, and `fault` says why, where the record gives no line; `measured_xy` `(N, 2)` are its places as they
    came, course metres. `refusal` says why it cannot become a
    revision, "" where it can. `alike` compares in ground metres.
    """

    capture: HeldCapture
    site: StandingSite
    bunker: LaidOutBunker | None
    old: LaidOutOutline | None
    line: CapturedOutline | None
    measured_xy: FloatArray
    alike: Likeness | None
    ground_scale: float
    fault: str
    refusal: str


def captures_of(store: Store, standing: StandingSite, held: Sequence[HeldRecord]) -> tuple[HeldCapture, ...]:
    """Return the captures among a site's records, oldest first."""
    if not any(isinstance(item.record, Capture) for item in held):
        return ()
    with store.reading() as transaction:
        return _captures(standing, held, issues_of(transaction, standing.site.id))


def worked_capture(store: Store, site_id: str, record_id: str) -> WorkedCapture:
    """Work one capture out; raises NotFoundError."""
    with store.reading() as transaction:
        return worked_in(transaction, site_id, record_id)


def worked_in(transaction: Transaction, site_id: str, record_id: str) -> WorkedCapture:
    """Work one capture out within a transaction; raises NotFoundError."""
    standing = standing_in(transaction, site_id)
    held = held_records(transaction, site_id, None, KINDS)
    issues = issues_of(transaction, site_id)
    capture = next(
        (one for one in _captures(standing, held, issues) if one.record.id == record_id),
        None,
    )
    if capture is None:
        raise NotFoundError(f"Site '{site_id}' holds no capture '{record_id}'.")
    base = _base(standing, capture.record, partial(versions_in, transaction, site_id))
    return _worked(capture, standing, base, held)


def _captures(
    standing: StandingSite, held: Sequence[HeldRecord], issues: Sequence[Issue]
) -> tuple[HeldCapture, ...]:
    bunkers = {bunker.id: bunker for bunker in standing.site.bunkers}
    by_source = {issue.came_from: issue for issue in issues}
    return tuple(
        HeldCapture(
            item, item.record, by_source.get(f"capture {item.record.id}"), bunkers.get(item.record.bunker)
        )
        for item in held
        if isinstance(item.record, Capture)
    )


def _base(
    standing: StandingSite, record: Capture, every: partial[list[StandingSite]]
) -> LaidOutBunker | None:
    """Return the bunker in the revision it was captured over, from whichever version has it."""

    def of(version: StandingSite) -> LaidOutBunker | None:
        key = record.bunker, record.revision
        return next((one for one in version.bunkers if (one.bunker.id, one.bunker.revision) == key), None)

    return of(standing) or next((found for version in every() if (found := of(version)) is not None), None)


def _worked(
    capture: HeldCapture, standing: StandingSite, bunker: LaidOutBunker | None, held: Sequence[HeldRecord]
) -> WorkedCapture:
    record, scale = capture.record, standing.ground_scale(capture.record.hole)
    outlines = bunker.outlines if bunker else ()
    old = next((outline for outline in outlines if outline.id == record.outline), None)
    line, fault = None, ""
    try:
        line = work_out(record, standing.grid, scale, held, site_square_unit_m(standing.site))
    except FieldappError as found:
        fault = _fault_words(record, found)
    comparable = line is not None and old is not None and old.curve.closed == line.curve.closed
    return WorkedCapture(
        capture=capture,
        site=standing,
        bunker=bunker,
        old=old,
        line=line,
        measured_xy=measured_places(record, standing.grid),
        alike=likeness(old.curve, line.curve) if comparable and old and line else None,
        ground_scale=scale,
        fault=fault,
        refusal=fault or _refusal(capture, old, line.curve if line else None),
    )


def _fault_words(record: Capture, fault: FieldappError) -> str:
    if record.method == "walk" and isinstance(fault, OutlineError):
        return (
            "No outline can be made of it: smoothed, the walk still crosses itself, as it may where a receiver errs by "
            "as much as the outline bends. Capture it by ties from two pegs, or by offsets from a string."
        )
    ways = crossing_ways([(point.x, point.y) for point in record.points], record.closed, record.curve)
    if isinstance(fault, OutlineError) and ways is not None:
        (start, end), (other, other_end) = ways
        return (
            f"No outline can be made of it: it crosses or touches itself. The way from point {start} to {end} meets "
            f"the way from point {other} to {other_end}. Take it back on the phone, bring the points into the order in "
            "which they lie along the line, and save it again."
        )
    return f"No outline can be made of it. {fault}"


def _refusal(capture: HeldCapture, old: LaidOutOutline | None, curve: Curve | None) -> str:
    """Say why a capture cannot become a revision; "" where it can."""
    record, standing, issue = capture.record, capture.standing, capture.issue
    if issue is not None:
        return f"It was confirmed by {issue.person} and became revision {issue.revision}."
    if capture.state in ("taken back", "practice"):
        return "It was taken back." if capture.state == "taken back" else "It is practice and does not count."
    if standing is None:
        return f"The site has no bunker '{record.bunker}' any more."
    if capture.state == "superseded":
        return (
            f"It was captured over revision {record.revision}, and revision {standing.revision} stands now; look at "
            "what is sprayed and capture it again over the one that stands."
        )
    if old is None:
        return f"Revision {record.revision} of {standing.name} has no outline '{record.outline}'."
    if curve is not None and curve.closed != old.curve.closed:
        was, now = ("closed", "open") if old.curve.closed else ("open", "closed")
        return f"The {record.part} is {was} and was captured as {now}; capture it again."
    return ""
