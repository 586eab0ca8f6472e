"""Whether a morning's verdict is borne out: nobody goes on from pegs that did not stand."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from fieldapp.errors import InputError
from fieldapp.model import FieldRecord, Morning, Taped
from fieldapp.tape.bunker_points import OUT_WORDS
from fieldapp.workflow.bunker_pegs import bunkers_of_peg
from fieldapp.workflow.peg_book import PegBook
from fieldapp.workflow.sites import StandingSite
from fieldapp.workflow.taped_checks import what_tapes_say

INSTANT = timedelta(milliseconds=1)
"""What is saved with the morning carries its time: it counts."""


def morning_misfits(
    morning: Morning, taped: FieldRecord | None, standing: StandingSite, book: PegBook
) -> Iterator[str]:
    """Yield what speaks against a morning's "go on"; `taped` is the record it names, None where it is not held."""
    found = [
        *_state_words(morning),
        *_taped_words(morning, taped, standing),
        *_peg_words(morning, standing, book),
    ]
    if found:
        yield f"The phone's verdict 'go on' is not borne out: {', '.join(found)}."


def _state_words(morning: Morning) -> Iterator[str]:
    seen = dict(morning.states)
    lost = {peg: f"found {state}" for peg, state in seen.items() if state in ("moved", "missing")}
    lost |= {peg: "to be set again" for peg in morning.reset if peg not in lost}
    yield from (f"peg '{peg}' was {words}" for peg, words in lost.items())


def _taped_words(morning: Morning, taped: FieldRecord | None, standing: StandingSite) -> Iterator[str]:
    if morning.taped is None:
        yield "nothing was taped"
    elif isinstance(taped, Taped):
        verdict = taped.verdict if taped.verdict != "all fit" else _reckoned(taped, standing)
        if verdict != "all fit":
            yield f"its taped distances say '{verdict}'"
    elif taped is not None:
        yield "what it names as taped is none"


def _reckoned(taped: Taped, standing: StandingSite) -> str:
    try:
        return what_tapes_say(
            taped, standing.ground_scale(taped.hole), tolerance_m=standing.site.rules.tolerance_m
        ).verdict
    except InputError:
        return "cannot tell"


def _peg_words(morning: Morning, standing: StandingSite, book: PegBook) -> Iterator[str]:
    """Yield the bunker's pegs that stood out of place by then, and those that nobody saw."""
    seen = dict(morning.states)
    for name, peg in book.all_before(morning.made_at + INSTANT).items():
        if seen.get(name) in ("moved", "missing") or peg.state == "planned" or peg.peg.kind == "paint":
            continue
        if all(near.bunker.id != morning.bunker for near in bunkers_of_peg(standing, peg.peg)):
            continue
        if not peg.is_in_place:
            yield f"by what was reported peg '{name}' {OUT_WORDS[peg.state or '']}"
        elif name not in seen:
            yield f"peg '{name}' was not seen"
