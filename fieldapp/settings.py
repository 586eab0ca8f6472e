"""What may be set from outside: every name, its default and what it does.

Options on the command line come first, then the environment, then the defaults.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

DATABASE_FILE = "fieldapp.sqlite"


@dataclass(frozen=True)
class Setting:
    """One name in the environment."""

    name: str
    default: str
    help: str


SETTINGS = (
    Setting("FIELDAPP_DATA", "fieldapp-data", "folder that holds the data, where a command is given none"),
    Setting(
        "FIELDAPP_DATABASE_URL",
        "",
        f"SQLAlchemy address of a database to use instead of {DATABASE_FILE} in the data folder",
    ),
    Setting(
        "FIELDAPP_HOSTS",
        "",
        "further host names people may reach the server by, with commas between, "
        "for instance the public name of a proxy in front of it",
    ),
    Setting("FIELDAPP_DEBUG", "", "1 shows the traceback of an unexpected fault on the command line"),
)


@dataclass(frozen=True)
class Way:
    """How phones reach the server: by its own https, through a proxy, or neither.

    `names` are further host names and addresses for its certificate. `behind_proxy`: what a proxy on this machine
    says of a visitor is believed. `root_path` is the path under which a proxy shows it, such as /course, or empty.
    """

    https: bool = False
    names: tuple[str, ...] = ()
    new_authority: bool = False
    behind_proxy: bool = False
    root_path: str = ""


@dataclass(frozen=True)
class Settings:
    """The settings of one run.

    `trust_this_machine`: requests from this very machine, not passed on by a proxy, are the manager's.
    Everybody else, and everybody without it, comes by an invitation link.
    """

    data_dir: Path
    database_url: str = ""
    host: str = "127.0.0.1"
    hosts: tuple[str, ...] = ()
    trust_this_machine: bool = False
    way: Way = Way()

    @property
    def for_this_machine_only(self) -> bool:
        """Whether the address served can be reached from this machine only."""
        return is_this_machine(self.host)


def read_settings(
    environment: Mapping[str, str],
    data_dir: Path | None = None,
    host: str = "127.0.0.1",
    trust_this_machine: bool = False,
    way: Way = Way(),
) -> Settings:
    """Return the settings from the options given and the environment."""
    values = {setting.name: environment.get(setting.name, "") or setting.default for setting in SETTINGS}
    names = (name.strip().lower() for name in values["FIELDAPP_HOSTS"].split(","))
    return Settings(
        data_dir=data_dir if data_dir is not None else Path(values["FIELDAPP_DATA"]),
        database_url=values["FIELDAPP_DATABASE_URL"],
        host=host,
        hosts=tuple(name for name in names if name),
        trust_this_machine=trust_this_machine,
        way=way,
    )


def is_this_machine(host: str) -> bool:
    """Whether a host name or address is this machine's own loopback."""
    if host.lower() == "localhost":
        return True
    try:
        address = ipaddress.ip_address(host)
    except ValueError:
        return False
    if isinstance(address, ipaddress.IPv6Address) and address.ipv4_mapped:
        return address.ipv4_mapped.is_loopback
    return address.is_loopback
