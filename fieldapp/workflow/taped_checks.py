"""What taped distances say of the pegs by the server's own reckoning, and where the phone's is not borne out."""

from __future__ import annotations

from collections.abc import Iterator

from fieldapp.errors import InputError
from fieldapp.model import Taped, TapedLine
from fieldapp.tape.moved import Finding, which_moved
from fieldapp.tape.network import Distance, NetPeg
from fieldapp.tape.next_line import LONGEST_LINE_M
from fieldapp.tape.slope import level_distance
from fieldapp.tape.strength import LIMIT_M, limit_of
from fieldapp.workflow.peg_book import PegBook
from fieldapp.workflow.sites import StandingSite
from fieldapp.workflow.used_pegs import used_peg_words

MOST_PEGS = 12
MOST_LINES = 40
"""A bunker's pegs and more; a record of thousands would keep the server from its work."""


def what_tapes_say(
    taped: Taped, ground_scale: float, reach_m: float = LONGEST_LINE_M, tolerance_m: float = LIMIT_M
) -> Finding:
    """Return the finding of a record from its own pegs and lines; ground metres.

    `reach_m` is how long the tape is, `tolerance_m` the site's. Raises InputError where they cannot be adjusted.
    """
    if len(taped.pegs) > MOST_PEGS or len(taped.lines) > MOST_LINES:
        raise InputError(
            f"It has more than {MOST_PEGS} pegs or {MOST_LINES} distances; tape a bunker at a time."
        )
    pegs = [
        NetPeg.within(used.peg, (used.x * ground_scale, used.y * ground_scale), used.within_m)
        for used in taped.pegs
    ]
    lines = [Distance(line.one, line.other, level_m(line), taped.tape_error_m) for line in taped.lines]
    return which_moved(pegs, lines, reach_m=reach_m, limit_m=limit_of(tolerance_m, taped.tape_error_m))


def level_m(line: TapedLine) -> float:
    """Return the level distance of a line, ground metres; raises InputError where its ends differ by more in level."""
    if line.level_difference_m is None:
        return line.distance_m
    return float(level_distance(line.distance_m, line.level_difference_m))


def taped_misfits(taped: Taped, standing: StandingSite, pegs: PegBook) -> Iterator[str]:
    """Yield sentences about taped distances that do not fit: pegs elsewhere, or a verdict that they do not bear out."""
    scale = standing.ground_scale(taped.hole)
    yield from used_peg_words(taped.pegs, pegs, taped.made_at, scale)
    try:
        found = what_tapes_say(taped, scale, tolerance_m=standing.site.rules.tolerance_m)
    except InputError as error:
        yield f"It cannot be reckoned again: {error}"
        return
    if found.verdict != taped.verdict:
        yield f"The phone's verdict is '{taped.verdict}', its distances say '{found.verdict}'."
    elif _suspected(found) != (frozenset(taped.suspects), frozenset(taped.suspect_line or ())):
        yield "The phone suspects other pegs or another distance than its distances do."


def _suspected(found: Finding) -> tuple[frozenset[str], frozenset[str]]:
    return frozenset(found.suspects), frozenset(found.suspect_line or ())
