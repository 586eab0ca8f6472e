"""A site being made or changed: the tables of a site file as far as they are there, kept as a document of its own.

The document is {"format": "fieldapp-site-draft", "version": 1, "from_version": n or null, "text": the tables as TOML}.
Its tables are those of a site file, and any of them may be missing.
"""

from __future__ import annotations

import json
import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import tomli_w

from fieldapp.errors import FormatError
from fieldapp.formats.site_reading import FORMAT as SITE_FORMAT
from fieldapp.formats.site_reading import VERSION as SITE_VERSION
from fieldapp.formats.site_reading import Reading, read_site

FORMAT = "fieldapp-site-draft"
VERSION = 1
LONGEST_ID = 40
Tables = dict[str, Any]
"""The tables of a site file by name, numbers as they were typed (int or Decimal). Never changed, only replaced."""


@dataclass(frozen=True)
class SiteDraft:
    """A site being made; `from_version` is the site version (its sequence) that it grew from, None for a new site."""

    tables: Tables
    from_version: int | None = None


def begin_tables(site_id: str, name: str) -> Tables:
    """Return the tables of a site that holds nothing yet."""
    return {"format": SITE_FORMAT, "version": SITE_VERSION, "id": site_id, "name": name}


def tables_of(text: str) -> Tables:
    """Return the tables of a site's whole text; raises FormatError."""
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError) as fault:
        raise FormatError("The draft of the site cannot be read; begin it anew.") from fault


def text_of(tables: Mapping[str, Any]) -> str:
    """Return tables as the text of a site file."""
    return tomli_w.dumps(tables)


def draft_text(draft: SiteDraft) -> str:
    """Return a draft as the text it is kept as."""
    content = {
        "format": FORMAT,
        "version": VERSION,
        "from_version": draft.from_version,
        "text": text_of(draft.tables),
    }
    return json.dumps(content, ensure_ascii=False)


def read_site_draft(text: str) -> SiteDraft:
    """Read a draft as it is kept; raises FormatError."""
    content = json.loads(text)
    if (content.get("format"), content.get("version")) != (FORMAT, VERSION):
        raise FormatError("The draft is of another kind or version; begin it anew.")
    return SiteDraft(tables_of(content["text"]), content["from_version"])


def read_tables(tables: Mapping[str, Any]) -> Reading:
    """Read tables as a site, as far as they go; what is missing or wrong is noted in its findings."""
    return read_site(text_of(tables), {})


def id_from(name: str) -> str:
    """Make an id for a site of a name: 'Great Bank, West' becomes 'great-bank-west'; empty where no letter is left."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST_ID].strip("-")


def has_coordinates(tables: Mapping[str, Any]) -> bool:
    """Tell whether anything in the tables is written in course coordinates."""
    placed = ("green", "turning_points", "fairway", "x", "points")
    rows = (row for kind in ("hole", "tee", "peg", "keep_clear") for row in tables.get(kind, []))
    grid = tables.get("grid", {})
    return (
        bool(tables.get("spot_levels") or tables.get("bunker"))
        or any(key in row for row in rows for key in placed)
        or any(grid.get(key) for key in ("origin_x", "origin_y"))
    )
