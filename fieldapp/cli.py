"""The `fieldapp` command. Wrong use and refusals are one clear line on standard error and exit code 2.

The server is imported only by the commands that serve; the others start sooner without it.
"""

from __future__ import annotations

import io
import os
import re
import sys
from contextlib import ExitStack, closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from fieldapp.errors import ConflictError, FieldappError, InputError
from fieldapp.formats.bundle import site_notes
from fieldapp.formats.points_geojson import points_geojson
from fieldapp.formats.record_export import records_csv, records_geojson
from fieldapp.formats.site_folder import load_checked_site
from fieldapp.links_cli import link_app
from fieldapp.settings import DATABASE_FILE, Settings, Way, read_settings
from fieldapp.shipped_files import sample_site_folders
from fieldapp.sites_cli import Data, SiteFolder, site_app
from fieldapp.store.engine import Store, open_held_store, open_store
from fieldapp.tape_cli import baseline, ties
from fieldapp.workflow.handed_in import take_in_path
from fieldapp.workflow.phone_clock import Arrival
from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.revisions import marks_now
from fieldapp.workflow.set_out import points_of_site
from fieldapp.workflow.sites import load_site
from fieldapp.yardage_cli import yardage

WRONG_USE = 2
FAULT = 1
INTERRUPTED = 130
LOOPBACK = "127.0.0.1"
HIGHEST_PORT = 65_535
ROOT_PATH = re.compile(r"(/[A-Za-z0-9_~-][A-Za-z0-9._~-]*)+")
RECORD_FORMATS = {"csv": records_csv, "geojson": records_geojson}


def _format(text: str) -> str:
    if text in RECORD_FORMATS:
        return text
    raise typer.BadParameter(f"'{text}' is no format; give {' or '.join(RECORD_FORMATS)}.")


def _port(given: str | int) -> int:
    """Read a port; the default comes as a number already."""
    text = str(given)
    if text.isdecimal() and int(text) <= HIGHEST_PORT:
        return int(text)
    raise typer.BadParameter(f"'{text}' is no port; give a whole number from 0 to {HIGHEST_PORT}.")


def _root_path(given: str) -> str:
    """Read the path that a proxy shows the server under: with a slash before it and none behind."""
    path = "/" + given.strip("/")
    if path == "/":
        return ""
    if ROOT_PATH.fullmatch(path):
        return path
    raise typer.BadParameter(
        f"'{given}' is no path; give one such as /course, of letters, digits and . _ ~ -."
    )


app = typer.Typer(
    help="Set out golf bunkers on the ground: from a designed outline to a painted point.",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
app.add_typer(site_app, name="site")
app.add_typer(link_app, name="link")

Port = Annotated[int, typer.Option(parser=_port, metavar="N", help="port to serve on; 0 takes a free one")]
HttpPort = Annotated[
    int | None,
    typer.Option(
        parser=_port, metavar="N", help="with --https: port of the trust page; else one above --port"
    ),
]


@app.command()
def demo(port: Port = 8000, data: Data = Path("fieldapp-data")) -> None:
    """Load the sample sites and serve them to this machine, whose user is the manager."""
    from fieldapp.server.serving import bound_socket, serve

    settings = read_settings(os.environ, data, LOOPBACK, trust_this_machine=True)
    with bound_socket(LOOPBACK, port) as listening:
        _load_samples(settings)
        serve(settings, listening)


@app.command("serve")
def serve_data(
    data: Data,
    host: Annotated[str, typer.Option(help="0.0.0.0 lets others in by a link")] = LOOPBACK,
    port: Port = 8000,
    https: Annotated[bool, typer.Option("--https", help="https by an authority of its own")] = False,
    name: Annotated[
        list[str] | None, typer.Option(help="with --https: a name or address to reach it by")
    ] = None,
    http_port: HttpPort = None,
    new_authority: Annotated[
        bool, typer.Option("--new-authority", help="replace one that does not fit")
    ] = False,
    proxy_headers: Annotated[
        bool, typer.Option("--proxy-headers", help="believe a proxy on this machine")
    ] = False,
    root_path: Annotated[str, typer.Option(parser=_root_path, metavar="PATH", help="such as /course")] = "",
) -> None:
    """Serve the sites and records of a data folder."""
    from fieldapp.server.serving import bound_socket, serve

    way = Way(https, tuple(name or ()), new_authority, proxy_headers, root_path)
    _check_way(way, http_port)
    settings = read_settings(os.environ, data, host, way=way)
    with bound_socket(host, port) as listening, ExitStack() as others:
        plain = None
        if https:
            beside = _http_port(listening.getsockname()[1], port, http_port)
            plain = others.enter_context(bound_socket(host, beside, "--http-port"))
        if not settings.database_url and not (data / DATABASE_FILE).exists():
            print(
                f"'{data}' holds no fieldapp data yet and begins empty; load a site with 'fieldapp site load'."
            )
        serve(settings, listening, plain)


@app.command()
def points(
    site_dir: SiteFolder,
    bunker: Annotated[str | None, typer.Option(metavar="ID", help="only this bunker")] = None,
) -> None:
    """Write the paint points of a site as GeoJSON; x, y and chainage_m are metres of the course grid."""
    site, grid = load_checked_site(site_dir)
    sys.stdout.writelines(
        points_geojson(list(points_of_site(site, grid, bunker)), site.id, site_notes(site, grid))
    )


app.command("yardage")(yardage)
app.command("ties")(ties)
app.command("baseline")(baseline)


@app.command()
def records(
    data: Data,
    site: Annotated[str | None, typer.Option(metavar="ID", help="only this site")] = None,
    format: Annotated[str, typer.Option(parser=_format, metavar="csv|geojson", help="what to write")] = "csv",
) -> None:
    """Write the field records held."""
    with closing(open_held_store(read_settings(os.environ, data))) as store:
        held = held_records_of(store, site)
        now = marks_now(store, held)
    sys.stdout.writelines(RECORD_FORMATS[format](held, now))


@app.command("take-in")
def take_in(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="files that phones handed over")],
    data: Data,
) -> None:
    """Take in files of field records that phones handed over; what is held already stays as it is."""
    arrival = Arrival(datetime.now(UTC))
    with closing(open_held_store(read_settings(os.environ, data))) as store:
        taken = [take_in_path(store, file, arrival) for file in files]
    for answer in taken:
        print(answer.words)
        for detail in answer.details:
            print(f"  {detail}")
    if not all(answer.whole for answer in taken):
        raise InputError("not everything could be taken; what was not is named above, and all else is held.")


def main() -> None:
    """Run the command line and exit; what a terminal cannot show is escaped."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    sys.exit(run(sys.argv[1:]))


def run(arguments: list[str]) -> int:
    """Run one command; return its exit code. No traceback reaches a user unless FIELDAPP_DEBUG=1."""
    command = typer.main.get_command(app)
    try:
        code = command.main(args=arguments, prog_name="fieldapp", standalone_mode=False)
        sys.stdout.flush()
    except typer.TyperException as wrong:
        return _refuse(f"{_one_line(wrong.format_message())} {_help_hint(wrong)}", WRONG_USE)
    except FieldappError as refused:
        return _refuse(str(refused), WRONG_USE)
    except (KeyboardInterrupt, typer.Abort):
        return _refuse("stopped.", INTERRUPTED)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FAULT
    except Exception as fault:
        if os.environ.get("FIELDAPP_DEBUG") == "1":
            raise
        told = f"{type(fault).__name__}: {_one_line(str(fault))}"
        return _refuse(f"unexpected fault: {told} (run with FIELDAPP_DEBUG=1 for details)", FAULT)
    return int(code or 0)


def _refuse(text: str, code: int) -> int:
    for line in text.splitlines():
        print(f"fieldapp: {line}", file=sys.stderr, flush=True)
    return code


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _help_hint(wrong: typer.TyperException) -> str:
    context = getattr(wrong, "ctx", None)
    return f"(see '{context.command_path if context else 'fieldapp'} --help')"


def _check_way(way: Way, http_port: int | None) -> None:
    """Refuse options that have nothing to do with each other."""
    alone = [
        ("--name", way.names),
        ("--new-authority", way.new_authority),
        ("--http-port", http_port is not None),
    ]
    for option, given in alone:
        if given and not way.https:
            raise InputError(f"{option} belongs to --https; give both or neither.")
    if way.https and (way.behind_proxy or way.root_path):
        raise InputError(
            "--https is for phones that reach this machine directly, --proxy-headers and --root-path for a proxy in "
            "front, which has a certificate of its own; give one or the other."
        )


def _http_port(https_port: int, asked: int, given: int | None) -> int:
    """Return the port for plain http: the one given, else a free one where any was asked for, else the next."""
    if given is not None:
        return given
    if asked == 0:
        return 0
    if https_port == HIGHEST_PORT:
        raise InputError(
            f"There is no port above {HIGHEST_PORT}; give one for the trust page with --http-port."
        )
    return https_port + 1


def _load_samples(settings: Settings) -> None:
    with closing(open_store(settings)) as store:
        for folder in sample_site_folders():
            _load_sample(store, folder)


def _load_sample(store: Store, folder: Path) -> None:
    """Load a sample site; one that was marked and has changed since stays as it was marked."""
    try:
        loaded = load_site(store, folder, datetime.now(UTC))
    except ConflictError as fault:
        print(f"The sample in {folder.name} stays as it was loaded before: {fault}", flush=True)
        return
    if loaded.new:
        print(f"Loaded {loaded.site.name}.", flush=True)
