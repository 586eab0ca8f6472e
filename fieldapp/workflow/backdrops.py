"""Pictures to draw over: sent, drawn anew apart, laid on the course by their own words or by pegs, taken off."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import Any, BinaryIO

import numpy as np

from fieldapp.errors import BusyError, FitError, FormatError, InputError, NotFoundError
from fieldapp.formats.backdrop_image import MEDIA_TYPE
from fieldapp.formats.world_file import read_world_file
from fieldapp.geodesy.known_system import known_system
from fieldapp.geodesy.picture_world import NO_PICTURE, FittedWorld, PictureWorld, by_places, through
from fieldapp.model.drawing_reading import COURSE, LONLAT, DrawingReading, unit_named
from fieldapp.settings import Settings
from fieldapp.store.backdrops import Backdrop, add_backdrop, backdrop_content, standing_backdrops, take_off
from fieldapp.store.engine import Store
from fieldapp.workflow.apart import ANSWER, ApartLimits, run_apart
from fieldapp.workflow.apart_work import FILE, PICTURE
from fieldapp.workflow.drawing_placing import course_of, marks_of
from fieldapp.workflow.sites import StandingSite
from fieldapp.workflow.spool import Spool

MOST_PLACES = 12
BUSY = "A picture is being drawn anew already; send this one in a moment."
GONE = "There is no picture '{id}' waiting here; send it again."
NO_BACKDROP = "There is no picture '{id}' on this site; it may have been taken off."
SYSTEM_WORDS = {COURSE: "course coordinates", LONLAT: "longitude and latitude"}
SMALLEST_M, LARGEST_M = 5.0, 50_000.0


@dataclass(frozen=True)
class WaitingPicture:
    """A picture that was drawn anew and is not laid yet: its sides in pixels as drawn and as it came.

    `world` and `system` are what the file itself says, for the picture as it came.
    """

    id: str
    site_id: str
    name: str
    width: int
    height: int
    came_width: int
    came_height: int
    world: tuple[float, ...] | None = None
    system: str | None = None

    @property
    def size(self) -> tuple[int, int]:
        """Its width and height as drawn, pixels."""
        return self.width, self.height


@dataclass(frozen=True)
class PicturePlace:
    """A pixel of a picture as drawn, and the peg or tee plate that is seen there."""

    column: float
    row: float
    mark: str


@dataclass(frozen=True)
class LaidPicture:
    """Where a picture lies, and what that is known from and to, in words."""

    world: PictureWorld
    fitted_by: str
    told: tuple[str, ...]


class Pictures:
    """The pictures of a server that wait to be laid on a site."""

    def __init__(self, settings: Settings) -> None:
        self._spool = Spool(settings.data_dir / "pictures", settings.files.hours)
        self._limits = settings.files
        self._turn = threading.BoundedSemaphore(1)
        self._busy: set[str] = set()

    @contextmanager
    def receive(self) -> Iterator[tuple[str, BinaryIO]]:
        """Give an id and a file to write what comes into; raises BusyError while another picture is taken in."""
        if not self._turn.acquire(blocking=False):
            raise BusyError(BUSY)
        new = self._spool.new_id()
        try:
            self._spool.clear(self._busy)
            self._busy.add(new)
            with (self._spool.make(new) / FILE).open("wb") as file:
                yield new, file
        except BaseException:
            self._spool.remove(new)
            raise
        finally:
            self._busy.discard(new)
            self._turn.release()

    def draw(self, site_id: str, picture_id: str, name: str) -> WaitingPicture:
        """Draw a picture that has come anew, apart; raises FormatError, and keeps nothing then."""
        folder, limits = self._spool.folder(picture_id), self._limits
        asked = {"most_pixels": limits.backdrop_pixels, "longest_side": limits.backdrop_side}
        try:
            answer = run_apart("backdrop", folder, asked, ApartLimits(limits.memory_bytes, limits.seconds))
        except BaseException:
            self._spool.remove(picture_id)
            raise
        for left in (FILE, ANSWER):
            (folder / left).unlink(missing_ok=True)
        about = {
            key: answer[key] for key in ("width", "height", "came_width", "came_height", "world", "system")
        }
        about = {"id": picture_id, "site_id": site_id, "name": name, **about}
        self._spool.tell(picture_id, about)
        return _waiting(about)

    def waiting(self, site_id: str, picture_id: str) -> WaitingPicture:
        """Return a picture that waits; raises NotFoundError."""
        about = self._spool.about(picture_id)
        if about is None or about["site_id"] != site_id:
            raise NotFoundError(GONE.format(id=picture_id[:40]))
        return _waiting(about)

    def content(self, site_id: str, picture_id: str) -> bytes:
        """Return a waiting picture as JPEG; raises NotFoundError."""
        self.waiting(site_id, picture_id)
        return (self._spool.folder(picture_id) / PICTURE).read_bytes()

    def forget(self, picture_id: str) -> None:
        """Remove a waiting picture."""
        self._spool.remove(picture_id)


def laid_by_world(
    standing: StandingSite, picture: WaitingPicture, world_text: str, reading: DrawingReading | None
) -> LaidPicture | None:
    """Lay a picture by its world file, or by what it says itself; None where neither says where it lies.

    `reading` says what the world file's numbers lead to; None takes what the picture says. Raises InputError in words.
    """
    came, said = (picture.came_width, picture.came_height), picture.system
    if world_text.strip():
        world, by = read_world_file(world_text), "its world file"
    elif picture.world is not None:
        world, by = PictureWorld(*picture.world), "what the picture says of itself"
    else:
        return None
    if reading is None:
        if said is None:
            return None
        reading = _said(said)
    if not world.is_sound:
        raise FormatError(NO_PICTURE)
    in_course = through(
        world.of_sized(came, picture.size), picture.size, lambda xy: course_of(standing, reading, xy)
    )
    _check_size(in_course.world, picture)
    system = SYSTEM_WORDS.get(reading.system, reading.system)
    if reading.system == COURSE:
        return LaidPicture(in_course.world, f"{by}, in {system}", ())
    off_m = float(in_course.off_m.max())
    told = f"Between {system} and the course the picture is bent by {off_m:.3f} m at most."
    return LaidPicture(in_course.world, f"{by}, in {system}", (told,))


def laid_by_places(
    standing: StandingSite, picture: WaitingPicture, places: Sequence[PicturePlace]
) -> LaidPicture:
    """Lay a picture by pegs and tee plates that are seen in it; raises InputError, NotFoundError in words."""
    marks = marks_of(standing)
    if len(places) > MOST_PLACES:
        raise InputError(f"The picture is fitted by {len(places)} places; {MOST_PLACES} are the most.")
    for place in places:
        if place.mark not in marks:
            raise NotFoundError(f"There is no peg or tee plate '{place.mark[:40]}' on this site.")
        if not (0 <= place.column <= picture.width and 0 <= place.row <= picture.height):
            raise InputError(f"The pixel for {place.mark} lies outside the picture; click it again.")
    if len({place.mark for place in places}) < len(places):
        raise FitError("The same peg is named twice; each place clicked is a peg of its own.")
    fit = by_places([(place.column, place.row) for place in places], [marks[place.mark] for place in places])
    _check_size(fit.world, picture)
    names = ", ".join(place.mark for place in places)
    return LaidPicture(fit.world, f"{len(places)} places: {names}", _fit_words(fit, places))


def keep(
    store: Store,
    picture: WaitingPicture,
    content: bytes,
    laid: LaidPicture,
    person: str,
    at: datetime,
) -> Backdrop:
    """Keep a picture where it was laid; it is on disk once this returns. Raises StoreError."""
    new = Backdrop(
        id=secrets.token_hex(12),
        site_id=picture.site_id,
        name=picture.name,
        media_type=MEDIA_TYPE,
        width=picture.width,
        height=picture.height,
        world=laid.world.six,
        fitted_by=" ".join((f"{laid.fitted_by}.", *laid.told)),
        person=person,
        made_at=at,
    )
    with store.writing() as transaction:
        add_backdrop(transaction, new, content)
    return new


def backdrops_of(store: Store, site_id: str) -> tuple[Backdrop, ...]:
    """Return the pictures of a site that stand, oldest first; raises StoreError."""
    with store.reading() as transaction:
        return standing_backdrops(transaction, site_id)


def picture_of(store: Store, site_id: str, backdrop_id: str) -> bytes:
    """Return a kept picture as JPEG; raises NotFoundError, StoreError."""
    with store.reading() as transaction:
        content = backdrop_content(transaction, site_id, backdrop_id)
    if content is None:
        raise NotFoundError(NO_BACKDROP.format(id=backdrop_id[:40]))
    return content


def take_backdrop_off(store: Store, site_id: str, backdrop_id: str, person: str, at: datetime) -> None:
    """Take a picture off; raises NotFoundError where it does not stand, StoreError."""
    with store.writing() as transaction:
        if all(one.id != backdrop_id for one in standing_backdrops(transaction, site_id)):
            raise NotFoundError(NO_BACKDROP.format(id=backdrop_id[:40]))
        take_off(transaction, backdrop_id, person, at)


def _said(system: str) -> DrawingReading:
    """Return how numbers in a system are read that a picture names itself: in the unit of that system."""
    known = known_system(system)
    if system == LONLAT or known is None:
        return DrawingReading(system)
    unit = unit_named(known.metres_per_unit)
    if unit is None:
        raise InputError(
            f"The picture is in {known.name}, whose unit is not read here; save it in a system of metres or feet, or "
            "send it with a world file."
        )
    return DrawingReading(system, unit)


def _waiting(about: dict[str, Any]) -> WaitingPicture:
    world = about["world"]
    return WaitingPicture(**{**about, "world": None if world is None else tuple(world)})


def _check_size(world: PictureWorld, picture: WaitingPicture) -> None:
    corners = world.apply(np.array([(0.0, 0.0), (picture.width, picture.height)]))
    across_m = float(np.hypot(*(corners[1] - corners[0])))
    if not SMALLEST_M <= across_m <= LARGEST_M:
        raise InputError(
            f"Laid so, the picture would be {across_m:,.1f} m from corner to corner; check the unit and the system of "
            "its world file, or the pegs."
        )


def _fit_words(fit: FittedWorld, places: Sequence[PicturePlace]) -> tuple[str, ...]:
    across = float(np.hypot(fit.world.a, fit.world.d))
    told = [f"One pixel is {across:.3f} m."]
    if len(places) == 2:
        return (*told, "Two places fit whatever they are, so nothing checks this: click a third.")
    worst = int(np.argmax(fit.off_m))
    rms = float(np.sqrt(np.mean(fit.off_m**2)))
    told.append(
        f"The places are off by {rms:.2f} m (root mean square), the most at {places[worst].mark}: "
        f"{fit.off_m[worst]:.2f} m."
    )
    return tuple(told)
