"""Who comes, and by what: roles, invitation links, the devices let in by them, visitors."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Role = Literal["look", "mark", "plan", "manage"]
ROLES: tuple[Role, ...] = ("look", "mark", "plan", "manage")
"""In rising order: each may do all that those before it may."""

MAY: dict[Role, str] = {
    "look": "look at sites, plans and records",
    "mark": "look, and mark what was painted",
    "plan": "look, mark what was painted, and change plans",
    "manage": "do everything, and let people in",
}
"""What each role may do, as pages and refusals say it."""

LinkState = Literal["stands", "ended", "run out"]


def may(role: str, needed: str) -> bool:
    """Whether a role is at least the one that is needed; False where either is none."""
    return role in ROLES and needed in ROLES and ROLES.index(role) >= ROLES.index(needed)


@dataclass(frozen=True)
class Visitor:
    """Somebody who was let in. `link_id` is None for the manager at the serving machine.

    `name` is the link's own: of a person, or of a crew, whose members type theirs themselves, as does whoever sits at
    the serving machine.
    """

    name: str
    role: Role
    link_id: str | None = None
    is_crew: bool = False

    @property
    def came_by(self) -> str:
        """The name on the link by which the visitor came in; empty for whoever sits at the serving machine."""
        return "" if self.link_id is None else self.name

    def may(self, needed: str) -> bool:
        """Whether the visitor's role is at least the one that is needed."""
        return may(self.role, needed)


AT_THIS_MACHINE = Visitor("Manager at this machine", "manage", is_crew=True)


@dataclass(frozen=True)
class LinkDevice:
    """A phone or computer that a link let in. `kind` says in plain words what it called itself then."""

    made_at: datetime
    kind: str


@dataclass(frozen=True)
class InvitationLink:
    """A link for one person or a crew, with every device it let in, oldest first.

    `ends_at` is when it runs out by itself (None: never), `ended_at` when somebody ended it (None: nobody has).
    """

    id: str
    name: str
    role: Role
    is_crew: bool
    most_devices: int
    made_at: datetime
    ends_at: datetime | None
    ended_at: datetime | None
    devices: tuple[LinkDevice, ...] = ()

    def state_at(self, now: datetime) -> LinkState:
        """Return what has become of it; only one that stands lets anybody in."""
        if self.ended_at is not None:
            return "ended"
        return "run out" if self.ends_at is not None and now >= self.ends_at else "stands"

    @property
    def devices_left(self) -> int:
        """How many more devices it may be opened on."""
        return max(0, self.most_devices - len(self.devices))

    @property
    def visitor(self) -> Visitor:
        """Whoever comes by it."""
        return Visitor(self.name, self.role, self.id, self.is_crew)
