"""The head of a bunker's sheets, and what they say of pegs that are left out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fieldapp.model import Site
from fieldapp.server.tape_words import TapeWords
from fieldapp.server.tie_contexts import BunkerHead
from fieldapp.tape.bunker_points import BunkerPoints, LeftOut
from fieldapp.tape.ties import Tape
from fieldapp.workflow.sites import StandingSite


def bunker_head(standing: StandingSite, points: BunkerPoints, tape: Tape, today: date) -> BunkerHead:
    """Build the head."""
    site, bunker = standing.site, points.laid_out.bunker
    words, base = TapeWords(site.units.ground), f"/sites/{site.id}/bunkers/{bunker.id}"
    return BunkerHead(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        bunker_name=bunker.name,
        bunker_url=f"/sites/{site.id}#bunker-{bunker.id}",
        hole=hole_words(site, bunker.hole),
        revision=bunker.revision,
        dated=today.isoformat(),
        sign=words.sign,
        tape=f"{words.rough(tape.length_m)}, true to {words.error(tape.error_m)} (one sigma)",
        plan_url=f"{base}/peg-plan",
        ties_url=f"{base}/ties",
        baseline_url=f"{base}/baseline",
    )


def hole_words(site: Site, number: int) -> str:
    """Name a hole on a sheet; raises NotFoundError."""
    hole = site.hole(number)
    return f"hole {hole.number}, {hole.name}" if hole.name else f"hole {hole.number}"


def left_out_words(left_out: Sequence[LeftOut]) -> tuple[str, ...]:
    """Say which pegs nothing is measured from, and why."""
    return tuple(f"Peg {one.peg} {one.why}." for one in left_out)
