"""Whether the phone's own places in a capture are borne out by what it measured them from."""

from __future__ import annotations

from collections.abc import Iterator

from fieldapp.model import Capture
from fieldapp.workflow.captured_outline import elsewhere_words
from fieldapp.workflow.peg_book import PegBook
from fieldapp.workflow.sites import StandingSite
from fieldapp.workflow.used_pegs import used_peg_words


def capture_misfits(record: Capture, standing: StandingSite, pegs: PegBook) -> Iterator[str]:
    """Yield sentences about pegs that did not stand where the phone had them, and points it put elsewhere."""
    scale = standing.ground_scale(record.hole)
    yield from used_peg_words(record.pegs, pegs, record.made_at, scale)
    yield from elsewhere_words(record, scale)
