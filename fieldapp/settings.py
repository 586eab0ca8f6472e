"""What may be set from outside: every name, its default and what it does.

Options on the command line come first, then the environment, then the defaults.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from fieldapp.errors import InputError

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
    Setting(
        "FIELDAPP_IMPORT_MOST_MB",
        "52",
        "a drawing brought in may be so large, in millions of bytes; a larger one is refused before it is held",
    ),
    Setting(
        "FIELDAPP_IMPORT_MEMORY_MB",
        "700",
        "reading a file that somebody sent may take so much memory, in millions of bytes, in a process of its own",
    ),
    Setting(
        "FIELDAPP_IMPORT_DXF_MB",
        "21",
        "a DXF may be so large to be read whole, in millions of bytes; a larger one is read without its blocks, a "
        "larger binary one is refused",
    ),
    Setting(
        "FIELDAPP_IMPORT_UNPACKED_MB",
        "105",
        "a zip of a drawing may be so large once it is unpacked, likewise",
    ),
    Setting("FIELDAPP_IMPORT_POINTS", "200000", "so many points of a drawing are read, 999999 at most"),
    Setting("FIELDAPP_IMPORT_LINES", "20000", "so many lines and spots of a drawing are read"),
    Setting("FIELDAPP_IMPORT_SECONDS", "120", "reading such a file may take so many seconds"),
    Setting(
        "FIELDAPP_IMPORT_HOURS", "24", "a drawing that was sent and not kept is removed after so many hours"
    ),
    Setting(
        "FIELDAPP_BACKDROP_MOST_MB",
        "60",
        "a picture to draw over may be so large, in millions of bytes, as it is sent",
    ),
    Setting(
        "FIELDAPP_BACKDROP_MEGAPIXELS", "100", "such a picture may have so many million pixels as it is sent"
    ),
    Setting(
        "FIELDAPP_BACKDROP_SIDE",
        "4000",
        "its longer side as it is kept, in pixels; a larger one is sized down",
    ),
    Setting(
        "FIELDAPP_BACKUP_MOST_MB",
        "500",
        "the zip of a site that is brought back may be so large, in millions of bytes",
    ),
    Setting(
        "FIELDAPP_BACKUP_UNPACKED_MB", "1000", "unpacked it may be so large; pictures are nearly all of it"
    ),
    Setting(
        "FIELDAPP_BACKUP_TEXT_MB",
        "100",
        "unpacked and without its pictures it may be so large; this part is held in memory",
    ),
    Setting("FIELDAPP_BACKUP_FILES", "5000", "it may hold so many files; each picture is one"),
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
class FileLimits:
    """How large a file that is brought in may be, and what reading it may cost.

    `memory_bytes` and `seconds` hold for the process that reads it; `hours` is how long an import not kept is held.
    """

    import_bytes: int = 52_000_000
    memory_bytes: int = 700_000_000
    seconds: int = 120
    import_dxf_bytes: int = 21_000_000
    import_unpacked: int = 105_000_000
    import_points: int = 200_000
    import_lines: int = 20_000
    hours: int = 24
    backdrop_bytes: int = 60_000_000
    backdrop_pixels: int = 100_000_000
    backdrop_side: int = 4_000
    backup_bytes: int = 500_000_000
    backup_unpacked: int = 1_000_000_000
    backup_text: int = 100_000_000
    backup_files: int = 5_000


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
    files: FileLimits = FileLimits()

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
        files=_file_limits(values),
    )


def _file_limits(values: Mapping[str, str]) -> FileLimits:
    million = 1_000_000
    return FileLimits(
        import_bytes=_whole(values, "FIELDAPP_IMPORT_MOST_MB") * million,
        memory_bytes=_whole(values, "FIELDAPP_IMPORT_MEMORY_MB") * million,
        seconds=_whole(values, "FIELDAPP_IMPORT_SECONDS"),
        import_dxf_bytes=_whole(values, "FIELDAPP_IMPORT_DXF_MB") * million,
        import_unpacked=_whole(values, "FIELDAPP_IMPORT_UNPACKED_MB") * million,
        import_points=_whole(values, "FIELDAPP_IMPORT_POINTS"),
        import_lines=_whole(values, "FIELDAPP_IMPORT_LINES"),
        hours=_whole(values, "FIELDAPP_IMPORT_HOURS"),
        backdrop_bytes=_whole(values, "FIELDAPP_BACKDROP_MOST_MB") * million,
        backdrop_pixels=_whole(values, "FIELDAPP_BACKDROP_MEGAPIXELS") * million,
        backdrop_side=_whole(values, "FIELDAPP_BACKDROP_SIDE"),
        backup_bytes=_whole(values, "FIELDAPP_BACKUP_MOST_MB") * million,
        backup_unpacked=_whole(values, "FIELDAPP_BACKUP_UNPACKED_MB") * million,
        backup_text=_whole(values, "FIELDAPP_BACKUP_TEXT_MB") * million,
        backup_files=_whole(values, "FIELDAPP_BACKUP_FILES"),
    )


def _whole(values: Mapping[str, str], name: str) -> int:
    text = values[name].strip()
    if text.isascii() and text.isdecimal() and 0 < len(text) < 7 and int(text) > 0:
        return int(text)
    raise InputError(f"{name} is '{text[:40]}'; give a whole number from 1 to 999999.")


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
