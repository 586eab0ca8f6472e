"""Whether the phone's own places in a capture are borne out by what it measured them from."""

from __future__ import annotations

import math
from collections.abc import Iterator

from fieldapp.model import Capture
from fieldapp.workflow.captured_outline import elsewhere_words
from fieldapp.workflow.peg_fitness import SAME_PLACE_M
from fieldapp.workflow.sites import StandingSite


def capture_misfits(record: Capture, standing: StandingSite) -> Iterator[str]:
    """Yield sentences about pegs that lie elsewhere than the phone had them, and points it put elsewhere."""
    scale = standing.ground_scale(record.hole)
    known = {peg.id: peg for peg in standing.site.pegs}
    for used in record.pegs:
        peg = known.get(used.peg)
        if peg is None:
            continue
        apart_m = math.dist((peg.x, peg.y), (used.x, used.y)) * scale
        if apart_m > SAME_PLACE_M:
            yield f"The phone's peg '{peg.id}' lies {apart_m:,.2f} m from where the site has it now."
    yield from elsewhere_words(record, scale)
