"""Whether a record of pegs and tapes fits the site: its bunker, its revision, its outline."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from fieldapp.model import Bunker, Capture, Morning, PegReport, Taped, TapeRecord
from fieldapp.workflow.capture_fitness import capture_misfits
from fieldapp.workflow.peg_book import PegBook
from fieldapp.workflow.sites import StandingSite
from fieldapp.workflow.standing_pegs import is_late_plan
from fieldapp.workflow.taped_checks import taped_misfits


def tape_misfits(record: TapeRecord, standing: StandingSite, pegs: Callable[[], PegBook]) -> Iterator[str]:
    """Yield sentences about a record that does not fit; pegs may be the crew's own, so any name will do.

    `pegs` is asked only where a record hangs on how they stood: most reports of pegs do not.
    """
    if isinstance(record, Taped):
        yield from taped_misfits(record, standing, pegs())
    if isinstance(record, PegReport) and record.state == "planned":
        yield from _late_plan_words(record, pegs())
    if record.bunker is None:
        return
    bunker = next((bunker for bunker in standing.site.bunkers if bunker.id == record.bunker), None)
    if bunker is None:
        yield f"The site has no bunker '{record.bunker}'."
        return
    if bunker.hole != record.hole:
        yield f"Bunker '{bunker.id}' is on hole {bunker.hole}, not {record.hole}."
    if isinstance(record, Capture | Morning):
        yield from _revision_words(record, bunker)
    if isinstance(record, Capture):
        yield from capture_misfits(record, standing, pegs())


def _late_plan_words(report: PegReport, pegs: PegBook) -> Iterator[str]:
    if is_late_plan(pegs.before(report.peg, report.made_at), report):
        yield f"Peg '{report.peg}' is there already, so this plan for it does not count."


def _revision_words(record: Capture | Morning, bunker: Bunker) -> Iterator[str]:
    if record.revision != bunker.revision:
        yield f"It is of revision '{record.revision}', the one that stands is '{bunker.revision}'."
    elif isinstance(record, Capture) and all(outline.id != record.outline for outline in bunker.outlines):
        yield f"Revision '{record.revision}' of bunker '{bunker.id}' has no outline '{record.outline}'."
