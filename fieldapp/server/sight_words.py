"""The answers of the sight page in words: what shows, under what condition, and what the shaper must do."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.model import Site, Tee
from fieldapp.model.units import METRES_PER, GroundUnit
from fieldapp.play.section import NOT_KNOWN, Place, Unknown, curvature_drop_m
from fieldapp.play.sight import STANDING_EYE_M, Condition, Sight
from fieldapp.play.tee_sight import TeeSight
from fieldapp.server.yardage_words import DASH, SIGNS, UNBROKEN, YardageWords

LEAST_SHOWN_M = 0.005
"""Lengths are told to the centimetre; a need of less than half of one is none."""


@dataclass(frozen=True)
class SightWords:
    """Writes distances in a site's yardage unit and levels in its ground unit."""

    yardage: YardageWords
    ground: GroundUnit

    @staticmethod
    def of(site: Site) -> SightWords:
        """Return the words of a site."""
        return SightWords(YardageWords(site.units.yardage), site.units.ground)

    @property
    def sign(self) -> str:
        """The ground unit as it is written after a figure."""
        return SIGNS[self.ground]

    def figure(self, length_m: float | None) -> str:
        """Write a height or level without its unit; a dash where there is none."""
        if length_m is None:
            return DASH
        text = f"{length_m / METRES_PER[self.ground]:.2f}"
        return text.removeprefix("-") if float(text) == 0 else text.replace("-", "\u2212")

    def height(self, length_m: float) -> str:
        """Write a height or level with its unit."""
        return f"{self.figure(length_m)}{UNBROKEN}{self.sign}"

    def width(self, length_m: float) -> str:
        """Write a width of the edge, to one decimal."""
        return f"{length_m / METRES_PER[self.ground]:.1f}"

    def away(self, distance_m: float) -> str:
        """Write a distance from the tee with its unit."""
        return self.yardage.with_unit(distance_m)

    def stretch(self, gap: Unknown) -> str:
        """Write from where to where nothing is known."""
        start = self.away(gap.start[0]) if gap.start[0] > 0 else "the plate"
        return f"from {start} to {self.away(gap.end[0])}"

    def place(self, place: Place) -> str:
        """Write where something stands and how high."""
        return f"{self.away(place[0])}, level {self.height(place[1])}"

    def eye(self, eye_m: float) -> str:
        """Say how high the eye is."""
        return "standing" if eye_m == STANDING_EYE_M else f"eye at {self.height(eye_m)}"

    def across(self, across_m: float) -> str:
        """Write how far off the middle a place of the edge lies."""
        text = self.figure(abs(across_m))
        return "middle" if float(text) == 0 else f"{text} {'right' if across_m > 0 else 'left'}"


def answer_sentences(found: TeeSight, show_m: float, words: SightWords) -> tuple[str, ...]:
    """Return the answer: what shows, on what condition, and what it takes to show as much as is wanted."""
    sight = found.sight
    who = f"From {found.tee.name}, {words.eye(found.eye_m)},"
    if sight.answer == "cannot tell":
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
    """Return what hides the sand that does not show: the front edge or a place of the ground."""
    hider = found.sight.hidden_by
    if hider is None:
        return DASH
    return "front edge" if _is_front_edge(found, hider) else f"ground at {words.away(hider[0])}"


def condition_words(condition: Condition, words: SightWords) -> str:
    """Say what a stretch of unknown ground must keep to."""
    stretch = words.stretch(condition.unknown)
    near, far = max(0.0, condition.room_from_m), max(0.0, condition.room_to_m)
    least = "at its far end" if far <= near else "at its near end"
    line = f"level {words.height(condition.line_from_m)} to {words.height(condition.line_to_m)}"
    return (
        f"{stretch[0].upper()}{stretch[1:]} the ground must stay below the line of sight, there from {line}. "
        f"Above a straight line between the known levels at both ends that leaves {words.height(near)} at the near end "
        f"and {words.height(far)} at the far end, evenly in between; it is tightest {least}."
    )


def gap_words(gap: Unknown, words: SightWords) -> str:
    """Say where nothing is known of the ground."""
    why = "" if gap.why == NOT_KNOWN else f" ({gap.why})"
    return f"Ground levels {words.stretch(gap)}{why}."


def always_assumed(found: TeeSight, words: SightWords) -> tuple[str, ...]:
    """Return what every answer takes for granted, with its size."""
    told = [
        _eye_words(found, words),
        "Levels are taken as they are given; how well they were taken is not known here.",
    ]
    if found.section.far_m is not None:
        drop = float(curvature_drop_m(found.section.far_m))
        told.append(
            f"The earth's curvature less the bending of light (k = 0.13) lowers the far edge by {drop * 1000:.1f} mm; "
            "that is counted."
        )
    told += _plate_words(found.tee, words)
    return tuple(told)


def _eye_words(found: TeeSight, words: SightWords) -> str:
    level = found.sight.eye_level_m
    at = "" if level is None else f", at level {words.height(level)}"
    return f"The eye is {words.height(found.eye_m)} above the tee plate{at}."


def _plate_words(tee: Tee, words: SightWords) -> list[str]:
    if tee.within_m is None:
        return []
    return [
        f"The plate's place is known within {words.height(tee.within_m)} (95 %); every distance here shares that."
    ]


def _what_shows(found: TeeSight, words: SightWords) -> str:
    sight = found.sight
    if sight.answer == "hidden" and sight.hidden_by is not None:
        if _is_front_edge(found, sight.hidden_by):
            return "none of the sand shows: the front edge hides it all."
        return f"none of the sand shows: the ground at {words.place(sight.hidden_by)}, hides it all."
    angle = f"{sight.angle_arcmin:.1f} minutes of arc"
    if found.section.pockets[0].face is None:
        much = "all" if sight.answer == "seen" else "part"
        straight = "if it ran straight from edge to edge"
        return f"{much} of the sand would show {straight}, {angle}; the floor's level is missing."
    face = f"{words.height(sight.face_m)} of the far face"
    if sight.floor_m > 0:
        return f"{face} and {words.height(sight.floor_m)} of the floor before it show: {angle}."
    return f"the upper {face} shows: {angle}."


def _is_front_edge(found: TeeSight, place: Place) -> bool:
    return any(place == pocket.front for pocket in found.section.pockets)


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
        return (
            "How far the edge would have to come down cannot be told without the height of the far face.",
        )
    middle = need.middle
    shown = words.height(middle.show_m)
    if middle.show_m < show_m - LEAST_SHOWN_M:
        shown = f"all {shown} of its face"
    lower, rise = middle.lower_m >= LEAST_SHOWN_M, middle.raise_m >= LEAST_SHOWN_M
    if not lower and not rise:
        return (f"In the middle nothing has to be done to show {shown}.{_toward_the_ends(need.width_m)}",)
    ways = []
    if lower:
        wide = f"{words.width(need.width_m)}{UNBROKEN}{words.sign}"
        ways.append(f"lower the front edge by {words.height(middle.lower_m)} over {wide}")
    if rise:
        ways.append(f"raise the far face by {words.height(middle.raise_m)}")
    told = f"To show {shown}, {', or '.join(ways)}."
    if middle.in_the_way is None:
        return (told,)
    place, over = middle.in_the_way
    return (
        told,
        f"Lowering the edge alone is not enough: the ground before it, worst at {words.away(place[0])}, stands "
        f"{words.height(over)} too high as well.",
    )


def _toward_the_ends(width_m: float) -> str:
    return " Toward its ends the edge stands too high; see the table." if width_m >= LEAST_SHOWN_M else ""
