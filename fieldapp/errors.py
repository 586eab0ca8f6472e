"""Everything that fieldapp refuses, as one tree.

    FieldappError                  one clear sentence: what, where, what to do
    ├── InputError                 something given to the program is wrong
    │   ├── SiteFolderError        a site folder has mistakes (all of them are listed)
    │   ├── OutlineError           an outline or line of play that cannot be used
    │   ├── GridError              a course grid that cannot be used
    │   │   ├── GridFileMissing    its best transformation needs a file that is not here
    │   │   └── FitError           the pegs cannot carry a fit
    │   ├── PositionError          a latitude/longitude that cannot be right
    │   ├── ReadingError           fixes or an error process that give no reading, check-in or trial
    │   ├── RecordError            a field record that cannot be taken
    │   └── FormatError            a document of another kind or another version
    ├── NotFoundError              a site, hole, tee, bunker or record that is not there
    ├── ConflictError              it contradicts what is already held, and that must not be overwritten
    │   └── StaleError             it was made from what stands no more: somebody changed that meanwhile
    ├── AccessError                without a link that lets it in
    │   └── RoleError              let in, but not for this
    └── StoreError                 the data folder or database cannot be used

The HTTP status of each is in `server/problems.py` only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


class FieldappError(Exception):
    """Base of all refusals; its text is one sentence meant for a person."""

    title = "fieldapp cannot do this"


class InputError(FieldappError):
    """Something given to the program is wrong."""

    title = "Something given is wrong"


@dataclass(frozen=True)
class Mistake:
    """One mistake in a site folder: where it is, what is wrong, what to do."""

    where: str
    what: str
    remedy: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}; {self.remedy}"


class SiteFolderError(InputError):
    """A site folder has mistakes; `mistakes` lists every one of them."""

    title = "The site folder has mistakes"

    def __init__(self, mistakes: tuple[Mistake, ...]) -> None:
        super().__init__("\n".join(str(mistake) for mistake in mistakes))
        self.mistakes = mistakes


class OutlineError(InputError):
    """An outline, shape or line that cannot be used."""

    title = "The outline cannot be used"


class GridError(InputError):
    """A course grid that cannot be used."""

    title = "The course grid cannot be used"


class GridFileMissing(GridError):
    """The best transformation needs a grid file that is not on this machine.

    `error_m` is the published error of what PROJ would use instead, in metres; None if PROJ does not know it.
    """

    title = "The course grid needs a file that is not here"

    def __init__(self, message: str, error_m: float | None) -> None:
        super().__init__(message)
        self.error_m = error_m


class FitError(GridError):
    """The pegs are too few, too close together, or contradict each other."""

    title = "The pegs cannot carry a course grid"


class PositionError(InputError):
    """A latitude and longitude that cannot be right here."""

    title = "The position cannot be right"


class ReadingError(InputError):
    """Fixes that give no reading, check-in or trial, or an error process that cannot be."""

    title = "The fixes cannot be used"


class RecordError(InputError):
    """A field record that cannot be taken as it is."""

    title = "The record cannot be taken"


class FormatError(InputError):
    """A document of another kind, or of a version this program does not know."""

    title = "The document is of another kind or version"


class NotFoundError(FieldappError):
    """A site, hole, tee, bunker or record that is not there."""

    title = "Not found"


class ConflictError(FieldappError):
    """It contradicts what is already held, and what is held is never overwritten."""

    title = "It contradicts what is held"


class StaleError(ConflictError):
    """It was made from what stands no more; `told` goes with the answer: what was changed, and what stands now."""

    title = "Somebody changed it meanwhile"

    def __init__(self, message: str, told: Mapping[str, object]) -> None:
        super().__init__(message)
        self.told = dict(told)


class AccessError(FieldappError):
    """The request comes from a device that no standing link has let in."""

    title = "Not let in"


class RoleError(AccessError):
    """The link that let the device in is not for this; it needs one of a higher role."""

    title = "Your link is not for this"


class StoreError(FieldappError):
    """The data folder or the database cannot be used."""

    title = "The data cannot be reached"
