"""Builds the tie sheet of a bunker: its sketch, its pegs against each other, its points in groups."""

from __future__ import annotations

import math
from datetime import date
from itertools import combinations, groupby

import numpy as np

from fieldapp.server.bunker_head import bunker_head, left_out_words
from fieldapp.server.peg_drawing import MarkedPeg, PegDrawing, PegsOnGround, draw_pegs, fit_pegs
from fieldapp.server.tape_words import TapeWords, why_words
from fieldapp.server.tie_contexts import PegPair, Taped, TieGroup, TieRow, TiesPage
from fieldapp.tape.adjust import SIGNIFICANCE
from fieldapp.tape.bunker_points import BunkerPoints, PointName
from fieldapp.tape.chi_square import critical
from fieldapp.tape.network import UNTOLD_SIGMA_M
from fieldapp.tape.slope import slope_distance
from fieldapp.tape.tied_bunker import TiedBunker
from fieldapp.tape.ties import POOR_CROSSING_DEG, PointTies, Tape, TiePeg
from fieldapp.workflow.sites import StandingSite

SKETCH_WIDTH_PX, MOST_HEIGHT_PX = 480.0, 560.0


def ties_page(
    standing: StandingSite, tied: TiedBunker, has_planned: bool, with_planned: bool, today: date
) -> TiesPage:
    """Build the tie sheet; `has_planned` says that pegs are planned, `with_planned` that they are counted in."""
    words = TapeWords(standing.site.units.ground)
    head = bunker_head(standing, tied.points, tied.tape, today)
    groups, pairs = _groups(tied, words), _pairs(tied, words)
    has_checks = any(len(group.pegs) > 2 for group in groups)
    return TiesPage(
        head=head,
        drawing=sketch(standing, tied.points, tied.pegs),
        groups=groups,
        has_slopes=any(tie.slope_m is not None for ties in tied.ties for tie in ties.ties),
        has_checks=has_checks,
        levels=_levels(tied.points),
        pegs=tuple(peg.id for peg in tied.pegs),
        pairs=pairs,
        left_out=left_out_words(tied.left_out),
        untied=_untied(tied),
        has_planned=has_planned,
        with_planned=with_planned,
        notes=_notes(words, tied.tape, bool(pairs), any(group.rows for group in groups), has_checks),
        csv_url=f"{head.ties_url}.csv" + ("?planned=yes" if with_planned else ""),
    )


def sketch(standing: StandingSite, points: BunkerPoints, pegs: tuple[TiePeg, ...]) -> PegDrawing:
    """Draw the bunker with numbered points and its pegs."""
    ground = ground_of_pegs(standing, points, pegs)
    return draw_pegs(ground, fit_pegs(ground, SKETCH_WIDTH_PX, MOST_HEIGHT_PX))


def ground_of_pegs(standing: StandingSite, points: BunkerPoints, pegs: tuple[TiePeg, ...]) -> PegsOnGround:
    """Return what a sketch with pegs is drawn from."""
    return PegsOnGround(
        points=points,
        pegs=[
            MarkedPeg(peg.id, (peg.xy[0] / points.scale, peg.xy[1] / points.scale), "standing")
            for peg in pegs
        ],
        ground_unit=standing.site.units.ground,
        convergence_deg=float(standing.grid.convergence_deg(np.array(points.laid_out.middle))),
    )


def _groups(tied: TiedBunker, words: TapeWords) -> tuple[TieGroup, ...]:
    pairs = zip(tied.points.names, tied.ties, strict=True)
    return tuple(_group(list(group), words) for _, group in groupby(pairs, _same_pegs))


def _same_pegs(pair: tuple[PointName, PointTies]) -> tuple[object, ...]:
    name, ties = pair
    return name.outline, tuple(tie.peg for tie in ties.ties), ties.side, ties.why


def _group(pairs: list[tuple[PointName, PointTies]], words: TapeWords) -> TieGroup:
    (first, ties), (last, _) = pairs[0], pairs[-1]
    pegs = tuple(tie.peg for tie in ties.ties)
    side = f"{ties.side} of the line from {pegs[0]} to {pegs[1]}" if ties.side else ""
    return TieGroup(
        part=first.called,
        first=first.number,
        last=last.number,
        pegs=pegs,
        side=side,
        why=why_words(ties),
        rows=tuple(_row(name, one, words) for name, one in pairs) if pegs else (),
    )


def _row(name: PointName, ties: PointTies, words: TapeWords) -> TieRow:
    assert ties.crossing_deg is not None
    assert ties.ellipse is not None
    return TieRow(
        number=name.number,
        taped=tuple(_taped(tie.level_m, tie.slope_m, words) for tie in ties.ties),
        crossing=f"{ties.crossing_deg:.0f}°",
        error=f"± {words.error(ties.ellipse.major_m)}",
        is_poor=ties.crossing_deg < POOR_CROSSING_DEG,
    )


def _taped(level_m: float, slope_m: float | None, words: TapeWords) -> Taped:
    return Taped(words.figure(level_m), "" if slope_m is None else words.figure(slope_m))


def _pairs(tied: TiedBunker, words: TapeWords) -> tuple[PegPair, ...]:
    """Return the pegs against each other where the tape reaches."""
    pairs = (_pair(one, other, tied.tape, words) for one, other in combinations(tied.pegs, 2))
    return tuple(pair for pair in pairs if pair is not None)


def _pair(one: TiePeg, other: TiePeg, tape: Tape, words: TapeWords) -> PegPair | None:
    level_m = math.dist(one.xy, other.xy)
    known = one.level_m is not None and other.level_m is not None
    slope_m = float(slope_distance(level_m, (one.level_m or 0.0) - (other.level_m or 0.0))) if known else None
    if (slope_m or level_m) > tape.length_m:
        return None
    sigma_m = math.hypot(tape.error_m, _sigma_m(one), _sigma_m(other))
    return PegPair(
        one=one.id,
        other=other.id,
        taped=_taped(level_m, slope_m, words),
        within=f"± {words.error(_z99_in_sigma() * sigma_m)}",
    )


def _sigma_m(peg: TiePeg) -> float:
    """Return one sigma of a peg's place as the check of the pegs takes it; one that nobody told is not exact there."""
    return peg.sigma_m or UNTOLD_SIGMA_M


def _levels(points: BunkerPoints) -> tuple[str, ...]:
    return tuple(f"{called}: {basis}" for called, basis in points.levels_basis)


def _untied(tied: TiedBunker) -> str:
    """Say how many points have no ties; "" where all have."""
    out = sum(1 for ties in tied.ties if ties.why)
    if out == 0:
        return ""
    if out == len(tied.ties):
        return "No paint point of this bunker is in reach of two pegs that stand."
    return f"{out} of {len(tied.ties)} paint points cannot be taped from two pegs that stand; the sheet names them."


def _notes(
    words: TapeWords, tape: Tape, has_pairs: bool, has_ties: bool, has_checks: bool
) -> tuple[str, ...]:
    """Say how the sheet is used, as far as it has pegs, ties and checks."""
    pegs = (
        "Tape the pegs against each other first. Sound ones miss by more than is told once in 100 times: where one "
        "does, a peg may have moved or the tape was misread. Tape it again, and find out before anything is painted.",
    )
    ties = (
        "Hook a tape on each of the two pegs, pull both straight, and mark where their figures meet, on the side told.",
        "Level is with the tape held level; slope is what it reads along the ground, where levels are known.",
        f"Expected is 95 times in 100, by a tape true to {words.error(tape.error_m)} (one sigma) from pegs that stand "
        f"as told. Where tapes cross at less than {POOR_CROSSING_DEG:.0f}° take other pegs; such rows are marked !.",
    )
    checks = (
        "The check is a third distance: where it does not fit, one of the three was misread, or a peg may have moved.",
    )
    services = "Have buried services located before a peg is driven."
    said = ((pegs, has_pairs), (ties, has_ties), (checks, has_checks))
    return (*(note for notes, is_so in said if is_so for note in notes), services)


def _z99_in_sigma() -> float:
    """Return what a sound distance misses by more once in a hundred times, as in the check of the pegs on the phone."""
    return math.sqrt(critical(1, SIGNIFICANCE))
