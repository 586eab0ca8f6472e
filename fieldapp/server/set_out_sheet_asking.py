"""What is asked of a set-out sheet in its address: the paper and the scale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from fieldapp.server.hole_asking import chosen, read_or_fault
from fieldapp.server.paper import A3, A4, LETTER, Paper

PAPERS = {paper.name: paper for paper in (A4, A3, LETTER)}
SCALES = (50, 100, 200, 250, 500)
"""Scales that bunkers are drawn at, the largest first."""


@dataclass(frozen=True)
class PaperAsked:
    """The paper, the scale or None for the largest that fits, and what could not be read, one sentence each."""

    paper: Paper
    ratio: int | None
    faults: tuple[str, ...]


def read_paper_asked(query: Mapping[str, str]) -> PaperAsked:
    """Read the query of a set-out sheet; without one: A4 and the largest scale that fits."""
    faults = list[str]()
    papers = {name: paper.words for name, paper in PAPERS.items()}
    paper = read_or_fault(partial(chosen, query.get("paper", "").strip(), papers, "paper"), faults)
    ratios = {str(ratio): f"1:{ratio}" for ratio in SCALES}
    typed = query.get("scale", "").strip().removeprefix("1:")
    ratio = read_or_fault(partial(chosen, typed, ratios, "scale 1:n"), faults)
    return PaperAsked(PAPERS[paper or A4.name], int(ratio) if ratio else None, tuple(faults))
