"""Invitation links in the store: links, their devices and their ends are added, never changed.

Secrets come in as their SHA-256 only. A row is found by that hash and the hash compared once more in constant time,
whatever the database's own comparison is.
"""

from __future__ import annotations

import hmac
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, cast

from sqlalchemy import Connection, Row, bindparam, insert, select

from fieldapp.formats.records import moment_text
from fieldapp.model.visitor import InvitationLink, LinkDevice, Role
from fieldapp.store.tables import LINK, LINK_DEVICE, LINK_END

LINK_BY_COOKIE = (
    select(LINK, LINK_DEVICE.c.cookie_hash, LINK_END.c.ended_at)
    .join(LINK_DEVICE, LINK_DEVICE.c.link == LINK.c.sequence)
    .outerjoin(LINK_END, LINK_END.c.link == LINK.c.sequence)
    .where(LINK_DEVICE.c.cookie_hash == bindparam("wanted"))
    .order_by(LINK_END.c.sequence)
)


@dataclass(frozen=True)
class NewLink:
    """A link to be held; `token_hash` is the SHA-256 (hex) of its secret part."""

    id: str
    token_hash: str
    name: str
    role: Role
    is_crew: bool
    most_devices: int
    made_at: datetime
    ends_at: datetime | None


def add_link(connection: Connection, new: NewLink) -> None:
    """Add a link."""
    values = {
        **vars(new),
        "made_at": moment_text(new.made_at),
        "ends_at": None if new.ends_at is None else moment_text(new.ends_at),
    }
    connection.execute(insert(LINK).values(values))


def add_device(connection: Connection, link_id: str, cookie_hash: str, device: LinkDevice) -> None:
    """Add a device that a link lets in."""
    values = {"cookie_hash": cookie_hash, "kind": device.kind, "made_at": moment_text(device.made_at)}
    connection.execute(insert(LINK_DEVICE).values(link=_number(connection, link_id), **values))


def add_end(connection: Connection, link_id: str, ended_at: datetime) -> None:
    """End a link, and with it every device it let in."""
    connection.execute(
        insert(LINK_END).values(link=_number(connection, link_id), ended_at=moment_text(ended_at))
    )


def link_of_token(connection: Connection, token_hash: str) -> InvitationLink | None:
    """Return the link of a secret part, whatever has become of it; a writer holds its row until it is done."""
    query = select(LINK).where(LINK.c.token_hash == token_hash).with_for_update()
    row = connection.execute(query).first()
    if row is None or not hmac.compare_digest(row.token_hash, token_hash):
        return None
    return _links(connection, [row])[0]


def link_of_cookie(connection: Connection, cookie_hash: str) -> InvitationLink | None:
    """Return the link, without its devices, that let in the device of a cookie, whatever has become of it."""
    row = connection.execute(LINK_BY_COOKIE, {"wanted": cookie_hash}).first()
    if row is None or not hmac.compare_digest(row.cookie_hash, cookie_hash):
        return None
    return _link(row, row.ended_at, ())


def link_of_id(connection: Connection, link_id: str) -> InvitationLink | None:
    """Return one link; None where there is none of that id."""
    row = connection.execute(select(LINK).where(LINK.c.id == link_id)).first()
    return None if row is None else _links(connection, [row])[0]


def all_links(connection: Connection) -> list[InvitationLink]:
    """Return every link with its devices, newest first."""
    return _links(connection, connection.execute(select(LINK).order_by(LINK.c.sequence.desc())).all())


def _links(connection: Connection, rows: Sequence[Row[Any]]) -> list[InvitationLink]:
    wanted = [row.sequence for row in rows]
    devices: dict[int, list[LinkDevice]] = defaultdict(list)
    query = select(LINK_DEVICE).where(LINK_DEVICE.c.link.in_(wanted)).order_by(LINK_DEVICE.c.sequence)
    for device in connection.execute(query):
        devices[device.link].append(LinkDevice(datetime.fromisoformat(device.made_at), device.kind))
    ends: dict[int, str] = {}
    for end in connection.execute(
        select(LINK_END).where(LINK_END.c.link.in_(wanted)).order_by(LINK_END.c.sequence)
    ):
        ends.setdefault(end.link, end.ended_at)
    return [_link(row, ends.get(row.sequence), tuple(devices[row.sequence])) for row in rows]


def _link(row: Row[Any], ended_at: str | None, devices: tuple[LinkDevice, ...]) -> InvitationLink:
    return InvitationLink(
        id=row.id,
        name=row.name,
        role=cast(Role, row.role),
        is_crew=row.is_crew,
        most_devices=row.most_devices,
        made_at=datetime.fromisoformat(row.made_at),
        ends_at=_moment(row.ends_at),
        ended_at=_moment(ended_at),
        devices=devices,
    )


def _moment(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)


def _number(connection: Connection, link_id: str) -> int:
    return int(connection.execute(select(LINK.c.sequence).where(LINK.c.id == link_id)).scalar_one())
