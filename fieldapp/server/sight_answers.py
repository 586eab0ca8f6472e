"""The answers of the sight page in words: what of the sand shows, what hides the rest, and what the shaper must do."""

from __future__ import annotations

from fieldapp.play.lowering import LineNeed, Lowering
from fieldapp.play.section import Place, Pocket
from fieldapp.play.sight import Sight
from fieldapp.play.tee_sight import TeeSight
from fieldapp.server.sight_words import SightWords
from fieldapp.server.yardage_words import DASH, UNBROKEN, listed

LEAST_SHOWN_M = 0.005
"""Lengths are told to the centimetre; a need of less than half of one is none."""
ORDINALS = ("first", "second", "third")
FACE_NOT_KNOWN = "How far the edge would have to come down cannot be told without the height of the far face."


def answer_sentences(found: TeeSight, show_m: float, words: SightWords) -> tuple[str, ...]:
    """Return the answer: what shows, on what condition, and what it takes to show as much as is wanted."""
    who = f"From {found.tee.name}, {words.eye(found.eye_m)},"
    if found.sight.answer == "cannot tell":
        return (f"{who} it cannot be told whether the sand shows.", *found.section.lacks)
    return (
        f"{who} {_what_shows(found, words)}",
        *_needs(found, show_m, words),
        *_condition_sentence(found, words),
    )


def short_answer(sight: Sight) -> str:
    """Return the answer in few words, for a table."""
    known = {"seen": "all", "partly": "in part", "hidden": "none", "cannot tell": "cannot tell"}[sight.answer]
    return f"{known}, if" if sight.conditions else known


def hidden_by_words(found: TeeSight, words: SightWords) -> str:
    """Return what hides the sand that does not show: the front edge, the sand itself or a place of the ground."""
    hider = found.sight.hidden_by
    if hider is None:
        return DASH
    if _is_front_edge(found, hider):
        return "front edge"
    return "own floor" if _is_sand(found, hider) else f"ground at {words.away(hider[0])}"


def of_first_face(found: TeeSight) -> str:
    """Return whose far face the lowering is for: the first stretch's, where the line runs through several."""
    return "the far face of the first stretch of sand" if len(found.section.pockets) > 1 else "the far face"


def _what_shows(found: TeeSight, words: SightWords) -> str:
    sight, pockets = found.sight, found.section.pockets
    if sight.answer == "hidden":
        return _what_hides(found, words)
    angle = f"{sight.angle_arcmin:.1f} minutes of arc"
    if len(pockets) > 1:
        told = [_of_pocket(sight.of(pocket), pocket, words) for pocket in pockets]
        told = [f"of the {name} {shows}" for name, shows in zip(_ordinals(len(told)), told, strict=True)]
        return f"{listed(told)}: {angle} in all."
    if pockets[0].face is None:
        much = "all" if sight.answer == "seen" else "part"
        straight = "if it ran straight from edge to edge"
        return f"{much} of the sand would show {straight}, {angle}; the floor's level is missing."
    return f"{_of_pocket(sight, pockets[0], words)}: {angle}."


def _of_pocket(sight: Sight, pocket: Pocket, words: SightWords) -> str:
    """Say what is seen of one stretch of sand; `sight` is of that one."""
    if not sight.seen:
        return "nothing shows"
    if pocket.face is None:
        return "sand would show if it ran straight from edge to edge"
    if sight.face_m <= 0:
        return f"{words.seen(sight.floor_m)} of the floor shows"
    face = f"{words.seen(sight.face_m)} of the far face"
    if sight.floor_m > 0:
        return f"{face} and {words.seen(sight.floor_m)} of the floor before it show"
    return f"{'' if face.startswith('less') else 'the upper '}{face} shows"


def _what_hides(found: TeeSight, words: SightWords) -> str:
    hider = found.sight.hidden_by
    if hider is None or _is_front_edge(found, hider):
        return "none of the sand shows: the front edge hides it all."
    if _is_sand(found, hider):
        return f"none of the sand shows: its own floor at {words.place(hider)}, hides what lies behind it."
    return f"none of the sand shows: the ground at {words.place(hider)}, hides it all."


def _ordinals(count: int) -> tuple[str, ...]:
    """Name so many stretches of sand in order."""
    names = (ORDINALS[index] if index < len(ORDINALS) else f"{index + 1}th" for index in range(count))
    return tuple(f"{name} stretch of sand" if name == "first" else name for name in names)


def _is_front_edge(found: TeeSight, place: Place) -> bool:
    return any(place == pocket.front for pocket in found.section.pockets)


def _is_sand(found: TeeSight, place: Place) -> bool:
    return any(pocket.front[0] <= place[0] and place[0] < pocket.far[0] for pocket in found.section.pockets)


def _condition_sentence(found: TeeSight, words: SightWords) -> tuple[str, ...]:
    gaps = found.section.unknown
    if not gaps or not (found.sight.conditions or found.lowering):
        return ()
    where = f"the ground {' and '.join(map(words.stretch, gaps))}, where levels are not known,"
    if found.sight.conditions:
        return (f"All of this holds only if {where} stays below the lines of sight.",)
    return (f"Such work helps only if {where} stays below the new line of sight.",)


def _needs(found: TeeSight, show_m: float, words: SightWords) -> tuple[str, ...]:
    need = found.lowering
    if need is None:
        return (_why_no_lowering(found.section.pockets[0]),)
    shown = _wanted(found, need.middle, show_m, words)
    ways = _ways(need, words)
    if not ways:
        return (f"In the middle nothing has to be done to show {shown}.{_toward_the_end(need, words)}",)
    told = f"To show {shown}, {', or '.join(ways)}."
    return (told, *_in_the_way(need.middle, words))


def _why_no_lowering(pocket: Pocket) -> str:
    """Say why no need can be told: the height of the far face is not known, or it has none."""
    height_m = pocket.face_height_m
    if height_m is None:
        return FACE_NOT_KNOWN
    bottom = "floor" if pocket.foot is None else "foot of the face"
    if height_m < 0:
        return (
            f"How far the edge would have to come down cannot be told: the {bottom} lies above the far edge, so one of "
            "the two levels is wrong."
        )
    return f"There is no far face that could show more: the {bottom} lies as high as the far edge."


def _wanted(found: TeeSight, middle: LineNeed, show_m: float, words: SightWords) -> str:
    height = words.height(middle.show_m)
    several = len(found.section.pockets) > 1
    if middle.show_m < show_m - LEAST_SHOWN_M:
        return f"all {height} of {of_first_face(found) if several else 'its face'}"
    return f"{height} of {of_first_face(found)}" if several else height


def _ways(need: Lowering, words: SightWords) -> list[str]:
    """Return what can be done: lower the front edge, raise the far face; none where nothing has to be in the middle."""
    ways = []
    if need.middle.lower_m >= LEAST_SHOWN_M:
        by = _by(need.middle.lower_m, need.most_lowered.lower_m, need.most_lowered.across_m, words)
        ways.append(f"lower the front edge by {by}, over {words.width(need.width_m)}{UNBROKEN}{words.sign}")
    if need.middle.raise_m >= LEAST_SHOWN_M:
        by = _by(need.middle.raise_m, need.most_raised.raise_m, need.most_raised.across_m, words)
        ways.append(f"raise the far face by {by}")
    return ways


def _by(middle_m: float, most_m: float, across_m: float, words: SightWords) -> str:
    """Write a need in the middle, and the most that is needed anywhere where that is more."""
    if most_m < middle_m + LEAST_SHOWN_M:
        return words.height(middle_m)
    return f"{words.height(middle_m)} in the middle, up to {words.height(most_m)} {_toward(across_m)}"


def _toward(across_m: float) -> str:
    return f"toward its {'right' if across_m > 0 else 'left'} end"


def _toward_the_end(need: Lowering, words: SightWords) -> str:
    most = need.most_lowered
    if most.lower_m < LEAST_SHOWN_M:
        return ""
    where = _toward(most.across_m)
    return (
        f" {where.capitalize()} the edge stands up to {words.height(most.lower_m)} too high; see the table."
    )


def _in_the_way(middle: LineNeed, words: SightWords) -> tuple[str, ...]:
    if middle.in_the_way is None:
        return ()
    place, over = middle.in_the_way
    return (
        f"Lowering the edge alone is not enough: the ground before it, worst at {words.away(place[0])}, stands "
        f"{words.height(over)} too high as well.",
    )
