"""Levels, heights and places of the sight page in words, with what must hold and what was assumed."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.model import Site, Tee
from fieldapp.model.units import METRES_PER, GroundUnit
from fieldapp.play.section import NOT_KNOWN, Place, Unknown, curvature_drop_m
from fieldapp.play.sight import STANDING_EYE_M, Condition
from fieldapp.play.tee_sight import TeeSight
from fieldapp.server.yardage_words import DASH, SIGNS, UNBROKEN, YardageWords


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

    def seen(self, length_m: float) -> str:
        """Write a height or length of sand that is seen, with its unit; one that is not nothing is not told as 0.00."""
        text = self.height(length_m)
        return f"less than 0.01{UNBROKEN}{self.sign}" if text.startswith("0.00") else text

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


def condition_words(condition: Condition, words: SightWords) -> str:
    """Say what a stretch of unknown ground must keep to."""
    stretch = words.stretch(condition.unknown)
    at_m, least = condition.least_room
    where = words.away(at_m) if at_m > 0 else "the plate"
    line = f"level {words.height(condition.line_from_m)} to {words.height(condition.line_to_m)}"
    near, far = words.height(condition.room_from_m), words.height(condition.room_to_m)
    return (
        f"{stretch[0].upper()}{stretch[1:]} the ground must stay below the line of sight, there from {line}. "
        f"Above a straight line between the known levels at both ends that leaves {near} at the near end and {far} at "
        f"the far end, evenly in between; the least is {words.height(least)}, at {where}."
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
