"""What a visitor asks of the sight page in its address: a bunker, a tee, eye heights, and how much sand is to show."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from fieldapp.errors import InputError
from fieldapp.formats.yardage_limits import Limits
from fieldapp.model import Bunker, Hole, Site
from fieldapp.model.units import METRES_PER, GroundUnit
from fieldapp.play.lowering import USUAL_SHOW_M
from fieldapp.play.sight import STANDING_EYE_M
from fieldapp.play.standing_plan import standing_plan
from fieldapp.server.asked_lengths import read_length_m
from fieldapp.server.hole_asking import chosen, read_or_fault

EYE = {"metre": Limits(0.3, 10), "foot": Limits(1, 33)}
SHOW = {"metre": Limits(0.01, 10), "foot": Limits(0.03, 33)}
EYE_EXAMPLES = "1.65m or 5.5ft, several with a space between them"
SHOW_EXAMPLES = "0.30m or 1ft"
MOST_EYES = 4
BEFORE_UNIT = re.compile(r"(?<=\d)\s+(?=[a-z])")
BETWEEN_FIGURES = re.compile(r"[;\s]+|,(?:\s+|$)")


@dataclass(frozen=True)
class SightForm:
    """The form as it stands: what was typed stays, also where it cannot be read."""

    bunker: str
    tee: str
    eye: str
    show: str


@dataclass(frozen=True)
class SightAsked:
    """What is asked, with sensible choices for what is not, or cannot be read; `faults` are sentences about those.

    `bunker` is None on a hole without bunkers, `tee` None on one without tees.
    """

    form: SightForm
    bunker: Bunker | None
    tee: str | None
    eyes_m: tuple[float, ...]
    show_m: float
    faults: tuple[str, ...]


def read_sight_asked(site: Site, hole: Hole, query: Mapping[str, str]) -> SightAsked:
    """Read the query of the sight page."""
    given = {name: query.get(name, "").strip() for name in ("bunker", "tee", "eye", "show")}
    faults: list[str] = []
    bunkers = {bunker.id: bunker for bunker in site.bunkers if bunker.hole == hole.number}
    tees = [tee.id for tee in site.tees_of(hole.number)]
    names = {bunker.id: bunker.name for bunker in bunkers.values()}
    wanted = read_or_fault(lambda: chosen(given["bunker"], names, f"bunker of hole {hole.number}"), faults)
    bunker = bunkers.get(wanted or "") or _first_choice(list(bunkers.values()))
    of_hole = dict.fromkeys(tees, "")
    tee = read_or_fault(lambda: chosen(given["tee"], of_hole, f"tee of hole {hole.number}"), faults)
    unit = site.units.ground
    eyes = read_or_fault(lambda: _eyes_m(given["eye"], unit), faults)
    show = read_or_fault(lambda: _show_m(given["show"], unit), faults)
    form = SightForm(
        bunker=given["bunker"] if bunker is None else bunker.id,
        tee=tee or _plan_tee(bunker, tees) or "",
        eye=given["eye"] or _typed(STANDING_EYE_M, unit),
        show=given["show"] or _typed(USUAL_SHOW_M, unit),
    )
    return SightAsked(
        form, bunker, form.tee or None, eyes or (STANDING_EYE_M,), show or USUAL_SHOW_M, tuple(faults)
    )


def _first_choice(bunkers: list[Bunker]) -> Bunker | None:
    """Return the first bunker whose floor is known, since more can be told of it, or else the first."""
    return next((bunker for bunker in bunkers if bunker.floor_level_m is not None), next(iter(bunkers), None))


def _plan_tee(bunker: Bunker | None, tees: list[str]) -> str | None:
    """Return the tee that a bunker is planned from, or else the first."""
    plan = None if bunker is None else standing_plan(bunker)
    return plan.tee if plan is not None and plan.tee in tees else next(iter(tees), None)


def _eyes_m(text: str, unit: GroundUnit) -> tuple[float, ...]:
    words = [word for word in BETWEEN_FIGURES.split(BEFORE_UNIT.sub("", text)) if word]
    if len(words) > MOST_EYES:
        raise InputError(f"{len(words)} eye heights are too many at once; give {MOST_EYES} at the most.")
    eyes = [read_length_m(word, unit, EYE[unit], "the eye height", EYE_EXAMPLES) for word in words]
    return tuple(dict.fromkeys(eyes)) or (STANDING_EYE_M,)


def _show_m(text: str, unit: GroundUnit) -> float:
    if not text:
        return USUAL_SHOW_M
    return read_length_m(text, unit, SHOW[unit], "the height of sand to show", SHOW_EXAMPLES)


def _typed(length_m: float, unit: GroundUnit) -> str:
    return f"{length_m / METRES_PER[unit]:.2f}"
