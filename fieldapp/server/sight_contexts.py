"""What the sight page is given, built from a site without a request. Headings name the unit of the figures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from fieldapp.model import Hole
from fieldapp.model.units import METRES_PER
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.lowering import EdgeStep, Lowering
from fieldapp.play.sight import STANDING_EYE_M
from fieldapp.play.tee_sight import TeeSight, tee_sights
from fieldapp.server.hole_contexts import Choice
from fieldapp.server.hole_pages import title_of
from fieldapp.server.section_drawing import SectionDrawing, draw_close, draw_long
from fieldapp.server.section_window import NARROW, WIDE, SectionSheet
from fieldapp.server.sight_answers import (
    LEAST_SHOWN_M,
    answer_sentences,
    hidden_by_words,
    of_first_face,
    short_answer,
)
from fieldapp.server.sight_asking import SightAsked, SightForm
from fieldapp.server.sight_words import SightWords, always_assumed, condition_words, gap_words
from fieldapp.server.yardage_words import DASH
from fieldapp.workflow.sites import StandingSite

MOST_STEPS = 24
STEPS = (1, 2, 5, 10, 20, 50)
STEP_UNIT = {"metre": 1.0, "foot": 3.0}
"""The table across the edge has a row every metre, or every three feet, or a round multiple of that."""


@dataclass(frozen=True)
class SightRow:
    """One tee and one eye height in the table of all."""

    tee: str
    eye: str
    answer: str
    face: str
    floor: str
    angle: str
    hidden_by: str
    lower: str
    width: str
    rise: str
    shown: bool


@dataclass(frozen=True)
class EdgeRow:
    """The front edge at one place across."""

    across: str
    distance: str
    level: str
    lower: str
    then: str
    in_the_way: str


@dataclass(frozen=True)
class ShownSight:
    """The answer for the tee and the eye that are looked at.

    `long` and `close` are the sections, each on a wide sheet and on a narrow one; empty where no levels are known to
    draw. `edge` is empty where no lowering can be told.
    """

    bunker: str
    revision: str
    tee: str
    eye: str
    answer: str
    needs: tuple[str, ...]
    long: tuple[SectionDrawing, ...]
    close: tuple[SectionDrawing, ...]
    conditions: tuple[str, ...]
    rows: tuple[SightRow, ...]
    edge: tuple[EdgeRow, ...]
    edge_caption: str
    lacks: tuple[str, ...]
    assumed: tuple[str, ...]


@dataclass(frozen=True)
class SightPage:
    """The sight page; `shown` is None on a hole without bunkers or tees."""

    site_name: str
    site_url: str
    hole_url: str
    hole_title: str
    url: str
    dated: str
    unit: str
    yard_sign: str
    ground: str
    sign: str
    form: SightForm
    faults: tuple[str, ...]
    bunkers: tuple[Choice, ...]
    tees: tuple[Choice, ...]
    shown: ShownSight | None


def sight_page(standing: StandingSite, hole: Hole, asked: SightAsked, today: date) -> SightPage:
    """Build the sight page of a hole."""
    site, words = standing.site, SightWords.of(standing.site)
    base = f"/sites/{site.id}/holes/{hole.number}"
    bunkers = [bunker for bunker in site.bunkers if bunker.hole == hole.number]
    return SightPage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        hole_url=base,
        hole_title=title_of(hole),
        url=f"{base}/sight",
        dated=f"drawn {today.isoformat()}",
        unit=words.yardage.unit,
        yard_sign=words.yardage.sign,
        ground="feet" if words.ground == "foot" else "metres",
        sign=words.sign,
        form=asked.form,
        faults=asked.faults,
        bunkers=tuple(Choice(bunker.id, bunker.name, bunker.id == asked.form.bunker) for bunker in bunkers),
        tees=tuple(Choice(tee.id, tee.name, tee.id == asked.form.tee) for tee in site.tees_of(hole.number)),
        shown=_shown(standing, hole, asked, words),
    )


def _shown(standing: StandingSite, hole: Hole, asked: SightAsked, words: SightWords) -> ShownSight | None:
    if asked.bunker is None or asked.tee is None:
        return None
    laid_out = next(bunker for bunker in standing.bunkers if bunker.bunker.id == asked.bunker.id)
    scale = standing.ground_scale(hole.number)
    found = tee_sights(standing.site, standing.bunkers, laid_out, asked.eyes_m, asked.show_m, scale)
    looked_at = next(each for each in found if (each.tee.id, each.eye_m) == (asked.tee, asked.eyes_m[0]))
    return _of_one(laid_out, looked_at, found, asked, words)


def _of_one(
    laid_out: LaidOutBunker, shown: TeeSight, found: Sequence[TeeSight], asked: SightAsked, words: SightWords
) -> ShownSight:
    answer, *needs = answer_sentences(shown, asked.show_m, words)
    section = shown.section
    return ShownSight(
        bunker=laid_out.bunker.name,
        revision=laid_out.bunker.revision,
        tee=shown.tee.name,
        eye=words.eye(shown.eye_m),
        answer=answer,
        needs=tuple(needs),
        long=_on_sheets(draw_long, shown, words),
        close=_on_sheets(draw_close, shown, words),
        conditions=tuple(condition_words(condition, words) for condition in shown.sight.conditions),
        rows=tuple(_row(each, each is shown, words) for each in found),
        edge=_edge_rows(shown.lowering, words),
        edge_caption=_edge_caption(shown, words),
        lacks=(*section.lacks, *(gap_words(gap, words) for gap in section.unknown)),
        assumed=(*section.assumed, *always_assumed(shown, words)),
    )


def _on_sheets(
    draw: Callable[[TeeSight, SightWords, SectionSheet], SectionDrawing | None],
    shown: TeeSight,
    words: SightWords,
) -> tuple[SectionDrawing, ...]:
    drawn = (draw(shown, words, sheet) for sheet in (WIDE, NARROW))
    return tuple(drawing for drawing in drawn if drawing is not None)


def _row(found: TeeSight, shown: bool, words: SightWords) -> SightRow:
    sight, need = found.sight, found.lowering
    told = sight.answer != "cannot tell"
    pockets = found.section.pockets if told else ()
    faces = [sight.of(pocket).face_m for pocket in pockets if pocket.face is not None]
    return SightRow(
        tee=found.tee.name,
        eye="standing" if found.eye_m == STANDING_EYE_M else words.figure(found.eye_m),
        answer=short_answer(sight),
        face=_side_by_side(faces, words),
        floor=_side_by_side([sight.of(pocket).floor_m for pocket in pockets], words),
        angle=f"{sight.angle_arcmin:.1f}" if told else DASH,
        hidden_by=hidden_by_words(found, words),
        lower=_middle_and_most(need.middle.lower_m, need.most_lowered.lower_m, words) if need else DASH,
        width=words.width(need.width_m if need.most_lowered.lower_m >= LEAST_SHOWN_M else 0.0)
        if need
        else DASH,
        rise=_middle_and_most(need.middle.raise_m, need.most_raised.raise_m, words) if need else DASH,
        shown=shown,
    )


def _side_by_side(lengths_m: Sequence[float], words: SightWords) -> str:
    """Write what is seen of each stretch of sand; lengths of several make no sum."""
    return " + ".join(map(words.figure, lengths_m)) or DASH


def _middle_and_most(middle_m: float, most_m: float, words: SightWords) -> str:
    """Write a need in the middle, with the most that is needed anywhere in brackets."""
    middle, most = words.figure(middle_m), words.figure(most_m)
    return middle if middle == most else f"{middle} ({most})"


def _edge_rows(need: Lowering | None, words: SightWords) -> tuple[EdgeRow, ...]:
    return tuple(_edge_row(step, words) for step in _steps(need, words)) if need else ()


def _steps(need: Lowering, words: SightWords) -> tuple[EdgeStep, ...]:
    """Return the edge at the closest round steps that make no more rows than a table bears."""
    unit_m = STEP_UNIT[words.ground] * METRES_PER[words.ground]
    tried = (need.at_steps(step * unit_m) for step in STEPS)
    return next((steps for steps in tried if len(steps) <= MOST_STEPS), ())


def _edge_row(step: EdgeStep, words: SightWords) -> EdgeRow:
    return EdgeRow(
        across=words.across(step.across_m),
        distance=words.yardage.figure(step.distance_m),
        level=words.figure(step.level_m),
        lower=words.figure(step.lower_m),
        then=words.figure(step.level_m - step.lower_m),
        in_the_way=words.figure(step.in_the_way_m) if step.all_known or step.in_the_way_m > 0 else DASH,
    )


def _edge_caption(shown: TeeSight, words: SightWords) -> str:
    need = shown.lowering
    if need is None:
        return ""
    wanted = f"{words.height(need.middle.show_m)} of {of_first_face(shown)}"
    return f"To show {wanted} from {shown.tee.name}, {words.eye(shown.eye_m)}"
