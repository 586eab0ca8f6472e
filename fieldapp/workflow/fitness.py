"""Whether a record fits the site: sentences about what does not. They never keep it from being stored."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime
from functools import cached_property

from fieldapp.model import (
    Capture,
    CheckIn,
    FieldRecord,
    HeldRecord,
    Mark,
    Morning,
    PegReport,
    PlaceRead,
    Taped,
    Trial,
    YardageCheck,
)
from fieldapp.reading.verdict import verdict
from fieldapp.workflow.check_fitness import check_misfits
from fieldapp.workflow.peg_book import PegBook
from fieldapp.workflow.peg_fitness import SAME_PLACE_M, elsewhere_words, peg_misfits
from fieldapp.workflow.sites import OutlinePoints, StandingSite
from fieldapp.workflow.tape_fitness import tape_misfits

COUNTED = Mark | YardageCheck | PegReport | PlaceRead | Taped | Capture | Morning


class RevisionBook:
    """The paint points of every revision of every bunker that a site ever had.

    Most records are of the site as it stands, so `older` (all versions, newest first) is asked for others, and
    `reports` (of its pegs, those that come now among them) for the few that hang on pegs.
    """

    def __init__(
        self,
        standing: StandingSite,
        older: Callable[[], Sequence[StandingSite]],
        reports: Callable[[], Iterable[HeldRecord]] = tuple,
    ) -> None:
        self.site = standing.site
        self.holes = {hole.number for hole in standing.site.holes}
        self.bunkers = {bunker.id: bunker for bunker in standing.site.bunkers}
        self.standing = standing
        self._older = older
        self._reports = reports
        self._scales: dict[int, float] = {}
        self._points: dict[tuple[str, str], OutlinePoints | None] = {}

    @cached_property
    def pegs(self) -> PegBook:
        """The pegs as they stood at any time; `reports` are read once, where a record hangs on them."""
        return PegBook(self.standing.site, self._reports())

    @property
    def first_loaded_at(self) -> datetime:
        """When this server first knew the site."""
        return min(version.loaded_at for version in self._older())

    def ground_scale(self, hole: int) -> float:
        """Return ground metres per course metre on a hole."""
        if hole not in self._scales:
            self._scales[hole] = self.standing.ground_scale(hole)
        return self._scales[hole]

    def points(self, bunker_id: str, revision: str) -> OutlinePoints | None:
        """Return the paint points of a revision; None for one that was never loaded."""
        key = bunker_id, revision
        if key not in self._points:
            found = self.standing.outline_points(*key)
            if found is None:
                drawn = (version.outline_points(*key) for version in self._older())
                found = next((points for points in drawn if points is not None), None)
            self._points[key] = found
        return self._points[key]


def misfits(
    record: FieldRecord,
    book: RevisionBook,
    course_xy: tuple[float, float] | None,
    off_m: float | None,
) -> list[str]:
    """Return sentences about what does not fit; `course_xy` and `off_m` are the server's own figures."""
    found: list[str] = []
    off_holes = isinstance(record, PlaceRead) and record.hole == 0
    if record.hole not in book.holes and not off_holes:
        found.append(f"The site has no hole {record.hole}.")
    if isinstance(record, COUNTED) and not record.practice and not record.real:
        found.append(f"Its receiver is '{record.receiver}', so it is practice and does not count.")
    if isinstance(record, Mark):
        found += _target_misfits(record, book)
        found += _position_misfits(record, book.standing, course_xy, off_m)
    elif isinstance(record, CheckIn | Trial):
        found += peg_misfits(record, book.standing, course_xy)
    elif isinstance(record, YardageCheck):
        found += _revision_misfits(record, book)
        found += check_misfits(record, book.standing, course_xy)
    elif isinstance(record, PlaceRead):
        found += filter(None, [elsewhere_words(book.standing, record.reading, course_xy)])
    elif isinstance(record, PegReport | Taped | Capture | Morning):
        found += tape_misfits(record, book.standing, lambda: book.pegs)
    return found


def _target_misfits(mark: Mark, book: RevisionBook) -> Iterator[str]:
    yield from _revision_misfits(mark, book)
    points = book.points(mark.target.bunker, mark.target.revision)
    if points is not None:
        yield from _point_misfits(mark, points)


def _revision_misfits(record: Mark | YardageCheck, book: RevisionBook) -> Iterator[str]:
    target = record.target
    standing = book.bunkers.get(target.bunker)
    if book.points(target.bunker, target.revision) is None:
        if standing is None:
            yield f"The site has no bunker '{target.bunker}'."
        else:
            yield f"Bunker '{target.bunker}' never had a revision '{target.revision}' here."
        return
    if standing is None:
        yield f"The site has no bunker '{target.bunker}' any more."
    elif standing.revision != target.revision:
        yield f"Revision '{target.revision}' has been superseded by '{standing.revision}'."
    if standing is not None and standing.hole != record.hole:
        yield f"Bunker '{target.bunker}' is on hole {standing.hole}, not {record.hole}."


def _point_misfits(mark: Mark, points: OutlinePoints) -> Iterator[str]:
    target = mark.target
    if target.outline not in points:
        yield f"Revision '{target.revision}' of bunker '{target.bunker}' has no outline '{target.outline}'."
        return
    xy = points[target.outline]
    if not 1 <= target.number <= len(xy):
        yield f"Outline '{target.outline}' has no paint point {target.number}; it has {len(xy)}."
        return
    apart = math.dist((target.x, target.y), xy[target.number - 1].tolist())
    if apart > SAME_PLACE_M:
        yield f"The phone's paint point {target.number} lies {apart:.2f} m from the designed one."


def _position_misfits(
    mark: Mark, standing: StandingSite, course_xy: tuple[float, float] | None, off_m: float | None
) -> Iterator[str]:
    if mark.position is None:
        return
    elsewhere = elsewhere_words(standing, mark.position, course_xy)
    if elsewhere or off_m is None:
        yield elsewhere or "The position lies outside the course grid."
        return
    if mark.off_m is not None and abs(mark.off_m - off_m) > SAME_PLACE_M:
        yield f"The phone says {mark.off_m:.2f} m off the point, its position says {off_m:.2f} m."
    nearest = max(off_m - SAME_PLACE_M, 0.0)
    tolerance_m = standing.site.rules.tolerance_m
    if mark.verdict == "inside" and verdict(nearest, mark.position.radius95_m, tolerance_m) != "inside":
        yield "The phone's verdict is 'inside', its position does not bear that out."
