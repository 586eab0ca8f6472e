"""`fieldapp link`: make an invitation link, list those there are, end one."""

from __future__ import annotations

import os
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated
from urllib.parse import urlsplit

import typer

from fieldapp.errors import InputError
from fieldapp.formats.moments import moment_words
from fieldapp.model.visitor import InvitationLink
from fieldapp.settings import Settings, read_settings
from fieldapp.store.engine import open_held_store, open_store
from fieldapp.workflow.links import end_link, end_of_days, links_held, make_link

DEFAULT_ADDRESS = "http://127.0.0.1:8000/"
ONLY_HERE = (
    "It opens on this machine only, at the port that 'fieldapp serve' takes by itself; "
    "for phones give --address with the address they reach the server by."
)

link_app = typer.Typer(help="Make an invitation link, list them, or end one.", rich_markup_mode=None)

Data = Annotated[Path, typer.Option(help="folder that holds the data", envvar="FIELDAPP_DATA")]


@link_app.command("make")
def make(
    data: Data,
    name: Annotated[str, typer.Option(help="the person or crew it is for")],
    role: Annotated[str, typer.Option(metavar="ROLE", help="look, mark, plan or manage")],
    crew: Annotated[bool, typer.Option("--crew", help="for a crew, whose members type their names")] = False,
    devices: Annotated[
        int | None, typer.Option(metavar="N", help="on how many devices; 2, or 20 for a crew")
    ] = None,
    days: Annotated[int | None, typer.Option(metavar="N", help="for how many days; else until ended")] = None,
    address: Annotated[str, typer.Option(help="the server's address as phones reach it")] = "",
) -> None:
    """Make a link that lets people in, and print it with its QR code. It is shown this once."""
    from fieldapp.server.people_pages import invitation_address
    from fieldapp.server.qr_codes import terminal_qr_code

    settings = read_settings(os.environ, data)
    base = _base(address, settings)
    now = datetime.now(UTC)
    ends_at = None if days is None else end_of_days(days, now)
    with closing(open_store(settings)) as store:
        made = make_link(store, name, role, now, is_crew=crew, most_devices=devices, ends_at=ends_at)
    whole = invitation_address(base, made.token)
    print(f"{_words(made.link, now)}. It is shown this once; open it on each device:")
    print(whole)
    print(terminal_qr_code(whole), end="")
    if base == DEFAULT_ADDRESS:
        print(ONLY_HERE)


@link_app.command("list")
def list_links(data: Data) -> None:
    """List every link, newest first, with the devices that are in by it."""
    now = datetime.now(UTC)
    with closing(open_held_store(read_settings(os.environ, data))) as store:
        held = links_held(store)
    if not held:
        print("There is no link yet; 'fieldapp link make' makes one.")
    for link in held:
        print(f"{link.id}  {_words(link, now)}")
        for device in link.devices:
            print(f"    {moment_words(device.made_at)}  {device.kind}")


@link_app.command("end")
def end(
    link_id: Annotated[str, typer.Argument(metavar="ID", help="as 'fieldapp link list' names it")], data: Data
) -> None:
    """End a link at once, and with it every device that is in by it."""
    with closing(open_held_store(read_settings(os.environ, data))) as store:
        link = end_link(store, link_id, datetime.now(UTC))
    many = len(link.devices)
    print(f"The link of {link.name} is ended, and {many} {'device' if many == 1 else 'devices'} with it.")


def _words(link: InvitationLink, now: datetime) -> str:
    whom = f"the crew {link.name}" if link.is_crew else link.name
    until = "until it is ended" if link.ends_at is None else f"until {moment_words(link.ends_at)}"
    state = link.state_at(now)
    if state != "stands":
        until = f"ended {moment_words(link.ended_at)}" if link.ended_at else f"has run out, {until}"
    many = f"{len(link.devices)} of {link.most_devices} devices"
    return f"Link for {whom}, role {link.role}, {many}, {until}"


def _base(address: str, settings: Settings) -> str:
    if not address:
        return f"https://{settings.hosts[0]}/" if settings.hosts else DEFAULT_ADDRESS
    try:
        parts = urlsplit(address)
        is_whole = (
            parts.scheme in ("http", "https") and bool(parts.hostname) and not parts.query + parts.fragment
        )
    except ValueError:
        is_whole = False
    if not is_whole or not address.isprintable() or " " in address:
        raise InputError(
            f"'{address}' is no address of a server; give --address such as https://course.example."
        )
    return address
