"""The page of a site being made, built from its draft: its parts in order, what it lacks, what phones have read."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.formats.moments import moment_words
from fieldapp.formats.site_draft import Tables
from fieldapp.formats.site_lacks import Lack, lacks_of
from fieldapp.model import PlaceRead
from fieldapp.server.site_edit_contexts import EditPage, PartLink, ReadPlace, WayOn
from fieldapp.server.site_part_grid import KIND_WORDS
from fieldapp.server.site_typing import place_words
from fieldapp.workflow.site_drafts import StandingDraft

PART_NAMES = {
    "facts": "Name and units",
    "grid": "Grid",
    "pegs": "Pegs",
    "holes": "Holes",
    "tees": "Tees",
    "levels": "Spot levels",
}
MOST_PLACES = 60
_TAKEN_AT = {"tee": "tees", "peg": "pegs"}


def part_url(site_id: str, part: str) -> str:
    """Return the address of a part's form."""
    return f"/sites/{site_id}/edit/{part}"


def edit_page(
    draft: StandingDraft, places: Sequence[PlaceRead], only_here: bool, fault: str = ""
) -> EditPage:
    """Build the page; `only_here` says that its address leads no other machine here."""
    tables, site_id = draft.tables, draft.site_id
    when = "" if draft.made_at is None else moment_words(draft.made_at)
    return EditPage(
        site_name=draft.name,
        site_id=site_id,
        is_new=draft.is_new,
        is_open=draft.is_open,
        number=draft.number,
        saved=f"Save {draft.number}, by {draft.person}, {when}." if draft.is_open else "",
        parts=tuple(
            PartLink(part_url(site_id, part), name, _part_words(tables, part))
            for part, name in PART_NAMES.items()
        ),
        lacks=tuple(WayOn(_lack_url(draft, lack), lack.words) for lack in lacks_of(tables)),
        places=tuple(_read_place(tables, site_id, place) for place in list(reversed(places))[:MOST_PLACES]),
        places_url=f"/sites/{site_id}/places",
        qr_words="opens on this machine only" if only_here else "scan with the phone",
        fault=fault,
    )


def next_way(draft: StandingDraft) -> WayOn:
    """Return where to go on: to the first thing that is missing, else to the page from which the site is loaded."""
    lacks = lacks_of(draft.tables)
    if lacks:
        return WayOn(_lack_url(draft, lacks[0]), f"Next: {lacks[0].words}")
    return WayOn(f"/sites/{draft.site_id}/edit", "Nothing is missing: look it over and load it.")


def _lack_url(draft: StandingDraft, lack: Lack) -> str:
    holes = draft.tables.get("hole", [])
    if lack.part == "holes" and lack.index is not None and "number" in holes[lack.index]:
        return f"{part_url(draft.site_id, 'holes')}/{holes[lack.index]['number']}#green"
    row = "" if lack.index is None else f"#{lack.part.removesuffix('s')}-{lack.index}"
    return part_url(draft.site_id, lack.part) + row


def _part_words(tables: Tables, part: str) -> str:
    if part == "facts":
        return str(tables.get("name", ""))
    if part == "grid":
        return KIND_WORDS.get(str(tables.get("grid", {}).get("kind")), "not said yet")
    rows = tables.get("spot_levels" if part == "levels" else part.removesuffix("s"), [])
    if part == "holes" and rows:
        return ", ".join(str(hole.get("number", "?")) for hole in rows)
    return f"{len(rows)}" if rows else "none"


def _read_place(tables: Tables, site_id: str, place: PlaceRead) -> ReadPlace:
    numbers = [hole.get("number") for hole in tables.get("hole", [])]
    if place.what == "peg" and "grid" not in tables:
        way = WayOn(part_url(site_id, "grid"), "Hang the grid on it")
        return ReadPlace(place_words(place), way)
    part = _TAKEN_AT.get(place.what) or (f"holes/{place.hole}" if place.hole in numbers else "holes")
    name = PART_NAMES.get(part, f"Hole {place.hole}")
    return ReadPlace(place_words(place), WayOn(part_url(site_id, part), f"Take it under {name}"))
