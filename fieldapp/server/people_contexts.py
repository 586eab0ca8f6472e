"""What the page of people is given, built from the links held without a request."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from fieldapp.formats.moments import moment_words
from fieldapp.model.visitor import MAY, ROLES, InvitationLink
from fieldapp.workflow.links import DEVICES_OF_A_CREW, DEVICES_OF_A_PERSON


@dataclass(frozen=True)
class RoleChoice:
    """One role in the form."""

    id: str
    words: str
    chosen: bool


@dataclass(frozen=True)
class LinkForm:
    """The form to make a link, as last filled in."""

    name: str
    is_crew: bool
    roles: tuple[RoleChoice, ...]
    devices: str
    days: str
    last_day: str


@dataclass(frozen=True)
class DeviceRow:
    """A device that is in by a link."""

    kind: str
    since: str


@dataclass(frozen=True)
class LinkCard:
    """One link in words; `end_url` is empty where it does not stand any more."""

    id: str
    name: str
    is_crew: bool
    may: str
    made: str
    until: str
    opened: str
    devices: tuple[DeviceRow, ...]
    is_yours: bool
    end_url: str


@dataclass(frozen=True)
class PeoplePage:
    """The page of people: the form, links that stand, and links of the past."""

    fault: str
    form: LinkForm
    devices_words: str
    standing: tuple[LinkCard, ...]
    past: tuple[LinkCard, ...]


@dataclass(frozen=True)
class LinkMadePage:
    """A new link, shown once; `drawn` is its QR code as SVG. `only_here`: its address leads to this machine only."""

    name: str
    is_crew: bool
    may: str
    address: str
    drawn: str
    devices: str
    until: str
    only_here: bool


def people_page(
    links: Sequence[InvitationLink],
    now: datetime,
    your_link: str | None,
    filled: Mapping[str, str],
    fault: str,
) -> PeoplePage:
    """Build the page; `filled` are the fields of a form that could not be taken because of `fault`."""
    cards = [(link.state_at(now) == "stands", _card(link, now, your_link)) for link in links]
    return PeoplePage(
        fault=fault,
        form=_form(filled),
        devices_words=f"{DEVICES_OF_A_PERSON} for a person, {DEVICES_OF_A_CREW} for a crew",
        standing=tuple(card for stands, card in cards if stands),
        past=tuple(card for stands, card in cards if not stands),
    )


def devices_words(count: int) -> str:
    """Return a number of devices in words."""
    return "1 device" if count == 1 else f"{count} devices"


def until_words(link: InvitationLink, now: datetime) -> str:
    """Return until when a link stands, or since when it does not."""
    if link.ended_at is not None:
        return f"ended {moment_words(link.ended_at)}"
    if link.ends_at is None:
        return "until it is ended"
    return f"{'ran out' if link.state_at(now) == 'run out' else 'until'} {moment_words(link.ends_at)}"


def _form(filled: Mapping[str, str]) -> LinkForm:
    role = filled.get("role", "mark")
    return LinkForm(
        name=filled.get("name", ""),
        is_crew=filled.get("for") == "crew",
        roles=tuple(RoleChoice(each, MAY[each], each == role) for each in ROLES),
        devices=filled.get("devices", ""),
        days=filled.get("days", ""),
        last_day=filled.get("last_day", ""),
    )


def _card(link: InvitationLink, now: datetime, your_link: str | None) -> LinkCard:
    stands = link.state_at(now) == "stands"
    return LinkCard(
        id=link.id,
        name=link.name,
        is_crew=link.is_crew,
        may=MAY[link.role],
        made=moment_words(link.made_at),
        until=until_words(link, now),
        opened=f"{len(link.devices)} of {devices_words(link.most_devices)}",
        devices=tuple(DeviceRow(device.kind, moment_words(device.made_at)) for device in link.devices),
        is_yours=link.id == your_link,
        end_url=f"/people/{link.id}/end" if stands else "",
    )
