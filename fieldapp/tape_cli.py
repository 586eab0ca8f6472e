"""`fieldapp ties` and `fieldapp baseline`: a bunker by taped distances from pegs, or by a string between two."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Annotated, Any

import typer

from fieldapp.formats.site_folder import load_checked_site
from fieldapp.formats.tape_limits import EVERY, TAPE_LENGTH
from fieldapp.formats.tie_table import baseline_csv, baseline_json, ties_csv, ties_json
from fieldapp.formats.typed_length import typed_length_m
from fieldapp.model import Site
from fieldapp.workflow.tying import baseline_of_site, ties_of_site

FORMATS = ("json", "csv")
TAPE_EXAMPLES = "30m or 100ft"


def _format(text: str) -> str:
    if text in FORMATS:
        return text
    raise typer.BadParameter(f"'{text}' is no format; give {' or '.join(FORMATS)}.")


SiteDir = Annotated[Path, typer.Argument(metavar="SITE_DIR", help="folder that holds a site.toml")]
BunkerId = Annotated[str, typer.Option(metavar="ID", help="the bunker")]
Format = Annotated[str, typer.Option(parser=_format, metavar="json|csv", help="what to write")]


def ties(
    site_dir: SiteDir,
    bunker: BunkerId,
    format: Format = "json",
    tape_length: Annotated[
        str | None, typer.Option(metavar="M", help="another tape than the site's, such as 30m or 100ft")
    ] = None,
) -> None:
    """Write the tie sheet of a bunker: each paint point by distances from two of the site's pegs, a third as check."""
    site, grid = load_checked_site(site_dir)
    length_m = None if tape_length is None else _length_m(site, tape_length, "--tape-length")
    found = ties_of_site(site, grid, bunker, length_m)
    sys.stdout.writelines(ties_csv(site, found) if format == "csv" else _json(ties_json(site, found)))


def baseline(
    site_dir: SiteDir,
    bunker: BunkerId,
    from_peg: Annotated[str, typer.Option("--from", metavar="PEG", help="peg that the string starts from")],
    to_peg: Annotated[str, typer.Option("--to", metavar="PEG", help="peg that it goes to")],
    every: Annotated[
        str | None, typer.Option(metavar="M", help="a place every so far along instead of the paint points")
    ] = None,
    format: Format = "json",
) -> None:
    """Write a bunker's outlines as chainage along a string between two of the site's pegs, and square offset."""
    site, grid = load_checked_site(site_dir)
    every_m = None if every is None else _length_m(site, every, "--every")
    found = baseline_of_site(site, grid, bunker, from_peg, to_peg, every_m)
    sys.stdout.writelines(baseline_csv(site, found) if format == "csv" else _json(baseline_json(site, found)))


def _length_m(site: Site, text: str, option: str) -> float:
    unit = site.units.ground
    limits = TAPE_LENGTH if option == "--tape-length" else EVERY
    return typed_length_m(text, unit, option, *limits.in_metres(unit), TAPE_EXAMPLES)


def _json(document: dict[str, Any]) -> Iterator[str] | Iterable[str]:
    yield json.dumps(document, allow_nan=False, ensure_ascii=False, indent=2)
    yield "\n"
