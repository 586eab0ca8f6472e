"""What a bunker comes too near to, in words, the same on a page and on a phone."""

from __future__ import annotations

from fieldapp.formats.keep_clear import LOCATE_FIRST
from fieldapp.formats.lengths import hundredths
from fieldapp.model import Site
from fieldapp.model.units import GroundUnit
from fieldapp.outline.clearance import Nearness, nearnesses
from fieldapp.outline.laid_out import LaidOutBunker


def near_words(site: Site, laid_out: LaidOutBunker, ground_scale: float) -> tuple[str, ...]:
    """Return a sentence for each thing that a bunker comes too near to, services with what to do first."""
    found = nearnesses(laid_out, site.keep_clear, ground_scale)
    return tuple(_sentence(one, site.units.ground) for one in found if one.is_too_near)


def _sentence(near: Nearness, unit: GroundUnit) -> str:
    thing = near.thing
    away, clear = hundredths(near.distance_m, unit), hundredths(thing.clearance_m, unit)
    called = f"{_with_article(thing.kind)}, {thing.name}" if thing.name else _with_article(thing.kind)
    how = "lies across it" if near.distance_m == 0.0 else f"{away} from it"
    caution = f" {LOCATE_FIRST}" if thing.is_service else ""
    return f"Near {called}: {how}, where {clear} should stay clear.{caution}"


def _with_article(kind: str) -> str:
    if kind == "other":
        return "something to keep clear of"
    if kind == "irrigation":
        return kind
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"
