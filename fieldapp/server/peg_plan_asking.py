"""What is asked of the page of a peg plan: margin, number, whether standing pegs count, where planned pegs stand."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from fieldapp.errors import InputError
from fieldapp.formats.tape_limits import MARGIN, PEG_AWAY
from fieldapp.model.units import GroundUnit
from fieldapp.server.asked_lengths import read_length_m, shown
from fieldapp.server.hole_asking import read_or_fault
from fieldapp.server.tape_words import TapeWords
from fieldapp.tape.bunker_ground import MARGIN_M
from fieldapp.tape.peg_plan import MOST_PEGS
from fieldapp.workflow.peg_planning import PlannedPeg

LEAST_COUNT = 1
NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,47}")
EXAMPLES = "12.5 or -4.0m"


@dataclass(frozen=True)
class TypedPeg:
    """A row of the form as it was filled in: a peg's name, and where it is to stand."""

    name: str
    along: str
    offset: str


@dataclass(frozen=True)
class PlanAsked:
    """What is asked. `pegs` is None where none were given and a plan is to be proposed.

    `typed` are the rows as they were filled in; `faults` says what could not be read, one sentence each.
    """

    margin_m: float
    margin_typed: str
    count: int | None
    counts_standing: bool
    proposes: bool
    pegs: tuple[PlannedPeg, ...] | None
    typed: tuple[TypedPeg, ...]
    faults: tuple[str, ...]


def read_plan_asked(unit: GroundUnit, query: Mapping[str, str]) -> PlanAsked:
    """Read the query, or the form, of a peg plan."""
    faults: list[str] = []
    margin_typed = query.get("margin", "").strip()
    margin_m = read_or_fault(partial(_margin_m, margin_typed, unit), faults)
    typed = _typed(query)
    proposes = "propose" in query or "peg-1" not in query
    pegs = None if proposes else [read_or_fault(partial(_peg, row, unit), faults) for row in typed]
    return PlanAsked(
        margin_m=MARGIN_M if margin_m is None else margin_m,
        margin_typed=margin_typed or TapeWords(unit).typed(MARGIN_M),
        count=read_or_fault(partial(_count, query.get("count", "").strip()), faults),
        counts_standing="margin" not in query or query.get("standing") == "yes",
        proposes="propose" in query,
        pegs=None if pegs is None else tuple(peg for peg in pegs if peg is not None),
        typed=() if proposes else typed,
        faults=tuple(faults),
    )


def _margin_m(text: str, unit: GroundUnit) -> float:
    return read_length_m(text, unit, MARGIN, "the margin", "3 or 10ft") if text else MARGIN_M


def _typed(query: Mapping[str, str]) -> tuple[TypedPeg, ...]:
    """Return the rows that have a name or a place."""
    rows = [
        TypedPeg(*(query.get(f"{field}-{row}", "").strip() for field in ("peg", "along", "offset")))
        for row in range(1, MOST_PEGS + 1)
    ]
    return tuple(row for row in rows if row.name or row.along or row.offset)


def _peg(row: TypedPeg, unit: GroundUnit) -> PlannedPeg:
    if not NAME.fullmatch(row.name):
        raise InputError(
            f"'{shown(row.name)}' is no name for a peg; give letters, digits, - and _, such as 4-right-a."
        )
    along, offset = (
        read_length_m(text, unit, PEG_AWAY, f"{what} of peg {shown(row.name)}", EXAMPLES)
        for text, what in ((row.along, "the way along"), (row.offset, "the way to the right"))
    )
    return PlannedPeg(row.name, along, offset)


def _count(text: str) -> int | None:
    if not text:
        return None
    if text.isdecimal() and text.isascii() and LEAST_COUNT <= int(text[:3]) <= MOST_PEGS:
        return int(text)
    raise InputError(
        f"'{shown(text)}' is no number of pegs; give from {LEAST_COUNT} to {MOST_PEGS}, or leave it."
    )
