"""Whether everything in a site file that is named is there, once, and belongs together."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldapp.formats.site_mistakes import Findings, did_you_mean, shown
from fieldapp.formats.toml_lines import Path

Json = dict[str, Any]
_NAMED_BY = {"hole": "number", "tee": "id", "peg": "id", "bunker": "id", "keep_clear": "id"}
_CALLED = {"keep_clear": "thing to keep clear of"}


def check_references(findings: Findings) -> None:
    """Note things of one name, and names of nothing.

    What is declared counts even where it has mistakes of its own, so that one mistake is told once.
    """
    for kind, key in _NAMED_BY.items():
        _check_names(findings, kind, key)
    holes, tees = _names(findings.document, "hole"), _names(findings.document, "tee")
    if not findings.document.get("hole"):
        findings.add((), "the site has no hole", "add a [[hole]] with number and green")
    elif holes is not None:
        _check_holes(findings, holes)
    if tees is not None:
        _check_tees(findings)


def _check_holes(findings: Findings, holes: set[Any]) -> None:
    for kind in ("tee", "bunker"):
        for index, thing in enumerate(_things(findings.document, kind)):
            number = thing.get("hole")
            if isinstance(number, int) and number not in holes:
                remedy = f"write {_listed(holes)}, or add the hole"
                findings.add((kind, index, "hole"), f"there is no hole {number}", remedy)


def _check_tees(findings: Findings) -> None:
    document = findings.document
    tees = {tee["id"]: tee.get("hole") for tee in _things(document, "tee")}
    for index, hole in enumerate(_things(document, "hole")):
        number = hole.get("number")
        if isinstance(number, int) and number not in tees.values():
            remedy = f"add a [[tee]] with hole = {number}"
            findings.add(("hole", index), "the hole has no tee, so its line of play has no start", remedy)
    for index, bunker in enumerate(_things(document, "bunker")):
        for part in ("place", "plan"):
            _check_tee(findings, ("bunker", index, part, "tee"), bunker, tees)


def _names(document: Mapping[str, Any], kind: str) -> set[Any] | None:
    """Return the names of all things of a kind; None where one cannot be told, so that none can be missed."""
    things = document.get(kind, [])
    of_kind = int if kind == "hole" else str
    if not isinstance(things, list) or len(things) != len(_things(document, kind)):
        return None
    names = [thing.get(_NAMED_BY[kind]) for thing in things]
    return set(names) if all(isinstance(name, of_kind) for name in names) else None


def _check_names(findings: Findings, kind: str, key: str) -> None:
    first: dict[str | int, int] = {}
    called = _CALLED.get(kind, kind)
    for index, thing in enumerate(_things(findings.document, kind)):
        name = thing.get(key)
        if not isinstance(name, str | int):
            continue
        if name in first:
            line = findings.line((kind, first[name]))
            findings.add(
                (kind, index, key),
                f"the {called} {shown(name)} stands already in line {line}",
                f"give every {called} of the site {'a number' if key == 'number' else 'an id'} of its own",
            )
        first.setdefault(name, index)


def _check_tee(findings: Findings, path: Path, bunker: Json, tees: Mapping[str, Any]) -> None:
    inner = bunker.get(str(path[2]))
    wanted = inner.get("tee") if isinstance(inner, dict) else None
    if not isinstance(wanted, str) or not wanted:
        return
    hole = bunker.get("hole")
    if wanted not in tees:
        own = [tee for tee, of_hole in tees.items() if of_hole == hole] or list(tees)
        meant = did_you_mean(wanted, own)
        remedy = f"did you mean '{meant}'?" if meant else f"write {_listed(own)}"
        findings.add(path, f"there is no tee {shown(wanted)}", remedy)
    elif isinstance(tees[wanted], int) and tees[wanted] != hole and hole in tees.values():
        findings.add(
            path,
            f"tee '{wanted}' belongs to hole {tees[wanted]} and the bunker to hole {hole}",
            "name a tee of the bunker's own hole, or correct the hole",
        )


def _things(document: Mapping[str, Any], kind: str) -> list[Json]:
    things = document.get(kind)
    return [thing for thing in things if isinstance(thing, dict)] if isinstance(things, list) else []


def _listed(names: Any) -> str:
    words = sorted(str(name) for name in names if name is not None)
    return f"one of {', '.join(words)}" if words else "another"
