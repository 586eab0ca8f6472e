"""Whether pegs stood where a phone had them when it measured from them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import datetime

from fieldapp.model import UsedPeg
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.tape.bunker_points import OUT_WORDS
from fieldapp.workflow.peg_book import PegBook
from fieldapp.workflow.peg_fitness import SAME_PLACE_M


def used_peg_words(
    used: Iterable[UsedPeg], book: PegBook, made_at: datetime, ground_scale: float
) -> Iterator[str]:
    """Yield sentences about pegs that lay elsewhere than the phone had them, or that were out of place by then.

    A peg that nobody here knew is passed over.
    """
    for one in used:
        peg = book.before(one.peg, made_at)
        if peg is not None:
            yield from _words(one, peg, ground_scale)


def _words(used: UsedPeg, peg: StandingPeg, ground_scale: float) -> Iterator[str]:
    apart_m = math.dist((peg.peg.x, peg.peg.y), (used.x, used.y)) * ground_scale
    if apart_m > SAME_PLACE_M:
        told = "where the site has it now" if peg.placed is None else "where it stood then"
        yield f"The phone's peg '{used.peg}' lies {apart_m:,.2f} m from {told}."
    if not peg.is_in_place:
        yield f"Peg '{used.peg}' was measured from, though by what was reported it {OUT_WORDS[peg.state or '']}."
