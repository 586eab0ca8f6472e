"""Invitation links: make one, end one, let a device in by one, know a visitor by the device.

Secrets are random and leave here once: a link's token when it is made, a device's cookie when it is let in. What is
kept of either is its SHA-256; they are long enough that no slower hash is needed.
"""

from __future__ import annotations

import hashlib
import re
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from fieldapp.errors import AccessError, InputError, NotFoundError
from fieldapp.model.visitor import ROLES, InvitationLink, LinkDevice, Role, Visitor
from fieldapp.store.engine import Store
from fieldapp.store.links import (
    NewLink,
    add_device,
    add_end,
    add_link,
    all_links,
    link_of_cookie,
    link_of_id,
    link_of_token,
)
from fieldapp.workflow.device_kind import device_kind

SECRET_BYTES = 32
ID_LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"
ID_LENGTH = 8
LONGEST_NAME = 60
MOST_DEVICES = 500
MOST_DAYS = 3660
DEVICES_OF_A_PERSON = 2
DEVICES_OF_A_CREW = 20
NO_NAME = re.compile("[\0-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")

ASK = "ask the manager for a new one."
NOT_IN = (
    "This device has not been let in, or its time is over: open on it the link that the manager gave you, "
    "or ask the manager for one."
)
UNKNOWN = (
    "This link is not one of this server's: see that it was copied whole, or ask the manager for another."
)
ENDED = f"The link of {{name}} was ended; {ASK}"
RUN_OUT = f"The link of {{name}} has run out; {ASK}"
USED_UP = f"The link of {{name}} was opened on {{most}} already, as many as it is for; {ASK}"


@dataclass(frozen=True)
class MadeLink:
    """A new link and its token, which is kept nowhere."""

    link: InvitationLink
    token: str


@dataclass(frozen=True)
class LetIn:
    """A device that is in by a link; `cookie` is its new secret, None where it had one already."""

    link: InvitationLink
    cookie: str | None


def make_link(
    store: Store,
    name: str,
    role: str,
    made_at: datetime,
    *,
    is_crew: bool = False,
    most_devices: int | None = None,
    ends_at: datetime | None = None,
) -> MadeLink:
    """Make a link for a person, or a crew; raises InputError.

    `most_devices` is 2 for a person and 20 for a crew where it is None.
    """
    default = DEVICES_OF_A_CREW if is_crew else DEVICES_OF_A_PERSON
    token = secrets.token_urlsafe(SECRET_BYTES)
    new = NewLink(
        id="".join(secrets.choice(ID_LETTERS) for _ in range(ID_LENGTH)),
        token_hash=secret_hash(token),
        name=_checked_name(name),
        role=_checked_role(role),
        is_crew=is_crew,
        most_devices=_checked_devices(default if most_devices is None else most_devices),
        made_at=made_at,
        ends_at=_checked_end(ends_at, made_at),
    )
    with store.writing() as transaction:
        add_link(transaction, new)
        made = link_of_id(transaction, new.id)
    assert made is not None
    return MadeLink(made, token)


def end_link(store: Store, link_id: str, ended_at: datetime) -> InvitationLink:
    """End a link with all its devices; one that was ended already stays so. Raises NotFoundError."""
    with store.writing() as transaction:
        link = link_of_id(transaction, link_id)
        if link is None:
            raise NotFoundError(
                f"There is no link '{link_id[:60]}'; 'fieldapp link list' and the page of people name those there are."
            )
        if link.ended_at is None:
            add_end(transaction, link.id, ended_at)
    return link


def links_held(store: Store) -> list[InvitationLink]:
    """Return every link, newest first."""
    with store.reading() as transaction:
        return all_links(transaction)


def somebody_manages(store: Store, now: datetime) -> bool:
    """Whether a manager's link stands, so that somebody can come in by it or is in already."""
    return any(link.role == "manage" and link.state_at(now) == "stands" for link in links_held(store))


def link_by_token(store: Store, token: str) -> InvitationLink | None:
    """Return the link of a token, whatever has become of it; None where there is none."""
    with store.reading() as transaction:
        return link_of_token(transaction, secret_hash(token))


def is_in_by(store: Store, link: InvitationLink, cookie: str) -> bool:
    """Whether the device of a cookie is in by this very link."""
    with store.reading() as transaction:
        held = link_of_cookie(transaction, secret_hash(cookie)) if cookie else None
    return held is not None and held.id == link.id


def check_lets_in(link: InvitationLink, now: datetime) -> None:
    """Raise AccessError, in words, where a link lets no further device in."""
    _check_stands(link, now)
    if link.devices_left == 0:
        many = "1 device" if link.most_devices == 1 else f"{link.most_devices} devices"
        raise AccessError(USED_UP.format(name=link.name, most=many))


def let_in(store: Store, token: str, cookie: str, user_agent: str, now: datetime) -> LetIn:
    """Let a device in by the link of a token; one that is in by it already does not count again.

    `cookie` is the secret the device has, or empty. Raises AccessError.
    """
    secret = secrets.token_urlsafe(SECRET_BYTES)
    with store.writing() as transaction:
        link = link_of_token(transaction, secret_hash(token))
        if link is None:
            raise AccessError(UNKNOWN)
        _check_stands(link, now)
        held = link_of_cookie(transaction, secret_hash(cookie)) if cookie else None
        if held is not None and held.id == link.id:
            return LetIn(link, None)
        check_lets_in(link, now)
        add_device(transaction, link.id, secret_hash(secret), LinkDevice(now, device_kind(user_agent)))
    return LetIn(link, secret)


def visitor_of_cookie(store: Store, cookie: str, now: datetime) -> Visitor | None:
    """Return who comes with a device's cookie, None where it is none; raises AccessError where its link is over."""
    with store.reading() as transaction:
        link = link_of_cookie(transaction, secret_hash(cookie)) if cookie else None
    if link is None:
        return None
    _check_stands(link, now)
    return link.visitor


def end_of_days(days: int, now: datetime) -> datetime:
    """Return when a link made now for a number of days runs out; raises InputError."""
    if not 1 <= days <= MOST_DAYS:
        raise InputError(
            f"A link cannot stand for {days} days; give 1 to {MOST_DAYS}, or none to let it stand."
        )
    return now + timedelta(days=days)


def secret_hash(secret: str) -> str:
    """Return the SHA-256 (hex) of a token or cookie."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def _check_stands(link: InvitationLink, now: datetime) -> None:
    state = link.state_at(now)
    if state != "stands":
        raise AccessError((ENDED if state == "ended" else RUN_OUT).format(name=link.name))


def _checked_name(name: str) -> str:
    name = " ".join(name.split())
    if not name or NO_NAME.search(name):
        raise InputError("A link needs the name of the person or crew it is for, in letters.")
    if len(name) > LONGEST_NAME:
        raise InputError(f"The name is {len(name)} characters long; give one of at most {LONGEST_NAME}.")
    return name


def _checked_role(role: str) -> Role:
    if role not in ROLES:
        raise InputError(
            f"'{role[:60]}' is nothing a link can be for; give {', '.join(ROLES[:-1])} or {ROLES[-1]}."
        )
    return role


def _checked_devices(count: int) -> int:
    if not 1 <= count <= MOST_DEVICES:
        raise InputError(f"A link cannot be for {count} devices; give 1 to {MOST_DEVICES}.")
    return count


def _checked_end(ends_at: datetime | None, made_at: datetime) -> datetime | None:
    if ends_at is not None and ends_at <= made_at:
        raise InputError("The link would have run out before it is made; give a day to come.")
    return ends_at
