"""The context of the page of one capture, and the rows of the list of captures, built without a request."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from fieldapp.formats.bundle import site_notes
from fieldapp.model import Bunker
from fieldapp.model.visitor import Visitor
from fieldapp.server.bunker_head import hole_words
from fieldapp.server.capture_contexts import CapturePage, Confirming, PointRow
from fieldapp.server.capture_drawing import draw_capture
from fieldapp.server.capture_words import (
    STATES,
    change_facts,
    how_words,
    is_rough,
    point_how,
    point_within,
    state_words,
    told_words,
    truth_facts,
)
from fieldapp.server.page_contexts import CaptureRow, Fact
from fieldapp.server.record_rows import came_by_words, ground_words, minute
from fieldapp.tape.bunker_points import site_square_unit_m
from fieldapp.workflow.captured_outline import placed_points
from fieldapp.workflow.captures import HeldCapture, WorkedCapture

LEADS = {
    "waits": "What was sprayed on the ground, over the outline that stands. Look at it, then confirm it or leave it.",
    "confirmed": "What was sprayed on the ground, over the outline it replaced.",
    "superseded": "What was sprayed on the ground, over an outline that stands no more.",
}
ROUGH = "This walk is too rough to dig by. Confirm it only to keep the idea, until it is captured by tape."
WORTH_MARKING_M = 0.02


def capture_rows(bunker: Bunker, site_id: str, captures: Sequence[HeldCapture]) -> Iterator[CaptureRow]:
    """Yield the captures of a bunker, newest first; those taken back and practice are left out."""
    ours = [one for one in captures if one.record.bunker == bunker.id]
    for capture in reversed(ours):
        if capture.state in ("taken back", "practice"):
            continue
        record = capture.record
        yield CaptureRow(
            id=record.id,
            url=capture_url(site_id, record.id),
            part=bunker.called_as(record.outline, record.part),
            how=how_words(record),
            person=record.person,
            came_by=came_by_words(capture.held),
            made_at=minute(record.made_at),
            revision=record.revision,
            state=state_words(capture),
            waits=capture.state == "waits",
        )


def capture_url(site_id: str, record_id: str) -> str:
    """Return the path of the page of a capture."""
    return f"/sites/{site_id}/captures/{record_id}"


def capture_page(
    worked: WorkedCapture, next_letter: str, visitor: Visitor, today: date, fault: str = ""
) -> CapturePage:
    """Build the page; `next_letter` is the revision it would become, `fault` what is wrong with a form just sent."""
    site, capture, record = worked.site.site, worked.capture, worked.capture.record
    base, line = f"/sites/{site.id}", worked.line
    bunker_name = capture.standing.name if capture.standing else record.bunker
    is_walk = record.method == "walk"
    return CapturePage(
        site_name=site.name,
        site_url=base,
        bunker_name=bunker_name,
        bunker_url=f"{base}#bunker-{record.bunker}" if capture.standing else base,
        hole=hole_words(site, record.hole),
        dated=today.isoformat(),
        revision=record.revision,
        heading=f"{bunker_name}, {record.part} as sprayed",
        part=record.part,
        state=STATES["cannot"] if worked.fault and capture.state == "waits" else state_words(capture),
        lead="What was sprayed on the ground."
        if worked.fault
        else LEADS.get(capture.state, LEADS["superseded"]),
        facts=_facts(worked),
        note=record.note,
        drawing=draw_capture(worked, _marked(worked)),
        changes=change_facts(worked),
        truths=truth_facts(worked, line) if line else (),
        told=(*told_words(worked, line), *(site_notes(site, worked.site.grid) if is_walk else ()))
        if line
        else (),
        remarks=capture.held.remarks,
        points=() if is_walk or line is None else tuple(_point_rows(worked)),
        refusal=worked.refusal,
        may_not=""
        if visitor.may("plan")
        else "Confirming it needs a link of the role plan; ask the manager for one.",
        confirming=_confirming(worked, next_letter, visitor, fault),
        set_out_url=f"{base}/set-out/{record.bunker}" if capture.issue and capture.standing else "",
        write_words=f"fieldapp site write {site.id} DIR --data …" if capture.issue else "",
    )


def _facts(worked: WorkedCapture) -> tuple[Fact, ...]:
    capture = worked.capture
    record, by = capture.record, came_by_words(capture.held)
    facts = [
        Fact("Measured", how_words(record)),
        Fact("By", f"{record.person} (link of {by})" if by else record.person),
        Fact("When", f"{minute(record.made_at)} UTC"),
        Fact("Over", f"revision {record.revision}"),
    ]
    if capture.issue is not None:
        facts.append(Fact("Confirmed", f"by {capture.issue.person}, {minute(capture.issue.issued_at)} UTC"))
    return tuple(facts)


def _marked(worked: WorkedCapture) -> tuple[tuple[str, tuple[float, float]], ...]:
    """Return words and places, course metres, of the farthest out and in, where they are worth marking."""
    alike, unit = worked.alike, worked.site.site.units.ground
    if alike is None:
        return ()
    closed = worked.line is not None and worked.line.curve.closed
    ways = ("out", "in") if closed else ("right", "left")
    found = ((alike.out_m, ways[0], alike.out_at), (alike.in_m, ways[1], alike.in_at))
    return tuple(
        (f"{ground_words(length_m, unit)} {way}", at)
        for length_m, way, at in found
        if length_m >= WORTH_MARKING_M
    )


def _point_rows(worked: WorkedCapture) -> Iterator[PointRow]:
    unit, record = worked.site.site.units.ground, worked.capture.record
    square_unit_m = site_square_unit_m(worked.site.site)
    for number, placed in placed_points(record, worked.ground_scale, square_unit_m):
        point = record.points[number - 1]
        yield PointRow(number, point_how(point, unit), point_within(placed.radius95_m, unit))


def _confirming(worked: WorkedCapture, next_letter: str, visitor: Visitor, fault: str) -> Confirming | None:
    if worked.refusal or not visitor.may("plan"):
        return None
    url = f"{capture_url(worked.site.site.id, worked.capture.record.id)}/confirm"
    return Confirming(url, next_letter, ROUGH if is_rough(worked.line) else "", visitor.is_crew, fault)
