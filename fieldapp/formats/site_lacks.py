"""What a site being made still lacks before it can be used, in words and in the order in which it is filled in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from fieldapp.errors import Mistake
from fieldapp.formats.site_check import check_reading
from fieldapp.formats.site_draft import Tables, read_tables
from fieldapp.formats.toml_lines import Path

PARTS = ("facts", "grid", "pegs", "holes", "tees", "levels")
"""The parts that a site is filled in by, in order."""
LEAST_FITTED = 2
_PART_OF = {
    "grid": "grid", "units": "facts", "hole": "holes", "tee": "tees", "peg": "pegs", "spot_levels": "levels",
}  # fmt: skip


@dataclass(frozen=True)
class Lack:
    """One thing that is missing or wrong. `part` is where it is filled in, `index` the row there or None."""

    part: str
    words: str
    index: int | None = None


def lacks_of(tables: Tables) -> tuple[Lack, ...]:
    """Return what is missing; where nothing is, every mistake that a site folder is checked for."""
    found = list(_missing(tables)) or list(_mistakes(tables))
    return tuple(sorted(found, key=lambda lack: PARTS.index(lack.part)))


def _missing(tables: Tables) -> Iterator[Lack]:
    if not str(tables.get("name", "")).strip():
        yield Lack("facts", "The site has no name.")
    yield from _of_grid(tables)
    for index, peg in enumerate(tables.get("peg", [])):
        if "x" not in peg:
            yield Lack("pegs", f"Peg {peg.get('id', index + 1)} has no place.", index)
    holes, tees = tables.get("hole", []), tables.get("tee", [])
    if not holes:
        yield Lack("holes", "There is no hole yet.")
    for index, hole in enumerate(holes):
        number = hole.get("number", index + 1)
        if "green" not in hole:
            yield Lack("holes", f"Hole {number}: the middle of its green has no place.", index)
        if all(tee.get("hole") != number for tee in tees):
            yield Lack(
                "tees", f"Hole {number} has no tee, so nothing can be measured along its line of play."
            )
    for index, tee in enumerate(tees):
        if "x" not in tee:
            yield Lack("tees", f"Tee {tee.get('name', index + 1)} has no place.", index)


def _of_grid(tables: Tables) -> Iterator[Lack]:
    grid: Mapping[str, Any] = tables.get("grid", {})
    kind = grid.get("kind")
    if kind is None:
        yield Lack("grid", "How the course grid lies on the earth is not said.")
    elif kind == "local" and "origin_lat_deg" not in grid:
        yield Lack("grid", "The place that the grid hangs on has no latitude and longitude.")
    elif kind == "projected" and not grid.get("crs"):
        yield Lack("grid", "The projected system has no code, such as EPSG:3006.")
    elif kind == "fitted":
        both = sum("x" in peg and "lat_deg" in peg for peg in tables.get("peg", []))
        if both < LEAST_FITTED:
            yield Lack(
                "pegs",
                f"A grid fitted to pegs wants two pegs, better three, that have both their x, y and their latitude and "
                f"longitude; {both or 'none'} {'has' if both == 1 else 'have'} both.",
            )


def _mistakes(tables: Tables) -> Iterator[Lack]:
    reading = read_tables(tables)
    check_reading(reading)
    for path, mistake in reading.findings.located:
        yield Lack(_PART_OF.get(str(path[0]) if path else "facts", "facts"), _words(mistake), _row(path))


def _row(path: Path) -> int | None:
    return path[1] if len(path) > 1 and isinstance(path[1], int) else None


def _words(mistake: Mistake) -> str:
    """Say a mistake without the line of a file that nobody sees."""
    label = next((part for part in mistake.where.split(", ")[1:] if not part.startswith("key ")), "")
    what = f"{label}: {mistake.what}" if label else mistake.what
    return f"{what[:1].upper()}{what[1:]}; {mistake.remedy}."
