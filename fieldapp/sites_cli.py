"""The commands about a site: check a folder, load it, write out the site that stands."""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from fieldapp.formats.bundle import site_notes
from fieldapp.formats.site_folder import load_checked_site
from fieldapp.settings import read_settings
from fieldapp.store.engine import open_held_store, open_store
from fieldapp.workflow.set_out import points_of_site
from fieldapp.workflow.site_writing import write_site
from fieldapp.workflow.sites import load_site

site_app = typer.Typer(
    help="Check a site folder, load it, or write out the site that stands.", rich_markup_mode=None
)

SiteFolder = Annotated[Path, typer.Argument(metavar="SITE_DIR", help="folder that holds a site.toml")]
Data = Annotated[Path, typer.Option(help="folder that holds the data", envvar="FIELDAPP_DATA")]


@site_app.command("check")
def check(site_dir: SiteFolder) -> None:
    """Report every mistake in a site folder."""
    site, grid = load_checked_site(site_dir)
    things: dict[str, Sequence[object]] = {
        "hole": site.holes,
        "tee": site.tees,
        "peg": site.pegs,
        "bunker": site.bunkers,
        "paint point": list(points_of_site(site, grid)),
    }
    counts = ", ".join(f"{len(some)} {name}{'' if len(some) == 1 else 's'}" for name, some in things.items())
    print(f"Site '{site.id}' ({site.name}) has no mistakes: {counts}.")
    for note in site_notes(site, grid):
        print(f"Note: {note}")


@site_app.command("load")
def load(
    site_dir: SiteFolder,
    data: Data,
    take_out: Annotated[
        list[str] | None,
        typer.Option(metavar="BUNKER", help="bunker that was drawn and issued here and is to go"),
    ] = None,
) -> None:
    """Load a site folder; what was loaded before stays held."""
    with closing(open_store(read_settings(os.environ, data))) as store:
        loaded = load_site(store, site_dir, datetime.now(UTC), take_out or ())
    what = "is loaded" if loaded.new else "stood like this already; nothing was changed"
    print(f"Site '{loaded.site.id}' ({loaded.site.name}) {what}.")


@site_app.command("write")
def write(
    site_id: Annotated[str, typer.Argument(metavar="SITE_ID", help="id of a site that was loaded")],
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="new or empty folder to write it into")],
    data: Data,
) -> None:
    """Write the site that stands into a folder, to go on from: with the outlines that were issued here."""
    with closing(open_held_store(read_settings(os.environ, data))) as store:
        site = write_site(store, site_id, folder)
    print(f"Site '{site.id}' ({site.name}) is written into '{folder}'; change it there and load it again.")
