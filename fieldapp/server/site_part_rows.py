"""The parts of a site being made that are rows: holes and tees, each to be changed or taken away. Pegs use them too."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from fieldapp.errors import InputError
from fieldapp.formats.site_draft import Tables, id_from
from fieldapp.server.site_edit_contexts import Choice, Fault, Field, FieldRow, WayOn
from fieldapp.server.site_typing import (
    COURSE,
    SiteGround,
    TypedPlace,
    by_choices,
    collect,
    length_words,
    pair_words,
    typed_length,
    typed_place,
    typed_whole,
    within_of,
)

Form = Mapping[str, str]
Json = dict[str, Any]
MOST_ROWS = 300


def rows_of(form: Form, kind: str) -> range:
    """Return the numbers of the rows of a kind that a form has; raises InputError for more than there may be."""
    numbers = [
        int(found[1]) for name in form if (found := re.match(rf"{kind}-(\d{{1,6}})(-|$)", name, re.ASCII))
    ]
    count = max(numbers, default=-1) + 1
    if count > MOST_ROWS:
        raise InputError(
            f"This page takes {MOST_ROWS} rows at most and was sent {count}; nothing was changed. Change them in the "
            "site's folder and load it."
        )
    return range(count)


def with_room_for(tables: Tables, form: Form) -> Tables:
    """Return tables with as many rows as a form has, but for the spare one that every form has at its end."""
    padded = dict(tables)
    for kind in ("hole", "tee", "peg"):
        rows = tables.get(kind, [])
        missing = len(rows_of(form, kind)) - 1 - len(rows)
        if missing > 0:
            padded[kind] = [*rows, *({} for _ in range(missing))]
    return padded


def hole_rows(ground: SiteGround, site_id: str) -> tuple[FieldRow, ...]:
    """Return the form of the holes' numbers and names, with the way to each one's own page."""
    holes = ground.tables.get("hole", [])
    rows = [
        FieldRow(
            f"Hole {hole.get('number', index + 1)}",
            _hole_fields(index, hole),
            way_on=WayOn(f"/sites/{site_id}/edit/holes/{hole['number']}", _green_words(hole))
            if "number" in hole
            else None,
        )
        for index, hole in enumerate(holes)
    ]
    return (*rows, FieldRow("One more hole", _hole_fields(len(holes), {}), is_spare=True))


def _green_words(hole: Json) -> str:
    return "Green, line of play, fairway" if "green" in hole else "Give its green a place"


def _hole_fields(index: int, hole: Json) -> tuple[Field, ...]:
    number = str(hole["number"]) if "number" in hole else ""
    return (
        Field(f"hole-{index}-was", "", number, "hidden"),
        Field(f"hole-{index}-number", "number", number),
        Field(f"hole-{index}-name", "name", str(hole.get("name", ""))),
        *away_field(f"hole-{index}-away", bool(hole)),
    )


def read_holes(ground: SiteGround, form: Form) -> tuple[Tables, list[Fault]]:
    """Return the tables with the holes typed; a hole that is taken away takes its tees along."""
    faults: list[Fault] = []
    before, holes, gone = ground.tables.get("hole", []), [], set()
    for index in rows_of(form, "hole"):
        name = f"hole-{index}"
        old = _row_that_was(before, "number", form.get(f"{name}-was", ""))
        if form.get(f"{name}-away"):
            gone.add(old.get("number"))
            continue
        number = collect(faults, f"{name}-number", typed_whole, form, f"{name}-number", "hole number")
        called = " ".join(form.get(f"{name}-name", "").split())
        if number is None and not called and not old:
            continue
        if number is None and all(fault.name != f"{name}-number" for fault in faults):
            faults.append(Fault(f"{name}-number", "A hole has no number; type one, or take the hole away."))
        holes.append({**old, "number": number or 0, "name": called})
    numbers = [hole["number"] for hole in holes]
    faults += [
        Fault(
            f"hole-{numbers.index(number)}-number", f"There are two holes {number}; give each its own number."
        )
        for number in sorted(set(numbers))
        if numbers.count(number) > 1
    ]
    with_bunkers = {bunker.get("hole") for bunker in ground.tables.get("bunker", [])} & gone
    faults += [
        Fault(
            "", f"Hole {number} has bunkers, so it stays; take its bunkers away in the site's folder first."
        )
        for number in with_bunkers
    ]
    tees = [tee for tee in ground.tables.get("tee", []) if tee.get("hole") not in gone]
    return _with_rows(_with_rows(ground.tables, "hole", holes), "tee", tees), faults


def tee_rows(ground: SiteGround) -> tuple[FieldRow, ...]:
    """Return the form of the tees."""
    tees, suffix = ground.tables.get("tee", []), ground.ground_suffix
    rows = [
        FieldRow(
            f"{tee.get('name', '')}, hole {tee.get('hole', '?')}", _tee_fields(ground, index, tee, suffix)
        )
        for index, tee in enumerate(tees)
    ]
    return (*rows, FieldRow("One more tee", _tee_fields(ground, len(tees), {}, suffix), is_spare=True))


def _tee_fields(ground: SiteGround, index: int, tee: Json, suffix: str) -> tuple[Field, ...]:
    name = f"tee-{index}"
    return (
        Field(f"{name}-was", "", str(tee.get("id", "")), "hidden"),
        Field(f"{name}-hole", "hole", str(tee.get("hole", ""))),
        Field(f"{name}-name", "name", str(tee.get("name", "")), hint="such as White"),
        *place_fields(name, tee, by_choices(ground, ("tee", "peg"))),
        Field(f"{name}-level", f"level, {suffix}", length_words(tee, "level", suffix)),
        Field(
            f"{name}-within",
            f"known within, {suffix}",
            length_words(tee, "within", suffix),
            hint="empty: exact",
        ),
        *away_field(f"{name}-away", bool(tee)),
    )


def read_tees(ground: SiteGround, form: Form) -> tuple[Tables, list[Fault]]:
    """Return the tables with the tees typed; a new tee's id is made of its hole and name."""
    return read_rows(ground, form, "tee", _read_tee)


def _read_tee(ground: SiteGround, form: Form, name: str, old: Json, faults: list[Fault]) -> Json:
    called = " ".join(form.get(f"{name}-name", "").split())
    hole = collect(faults, f"{name}-hole", typed_whole, form, f"{name}-hole", "hole number")
    if not called or hole is None:
        if not any(fault.name == f"{name}-hole" for fault in faults):
            faults.append(Fault(f"{name}-name", "A tee wants its hole and a name such as White."))
        return old
    tee_id = old.get("id") or f"{hole}-{id_from(called) or 'tee'}"
    return {"id": tee_id, "hole": hole, "name": called, **typed_spot(ground, form, name, faults)}


def place_fields(name: str, thing: Json, choices: tuple[Choice, ...]) -> tuple[Field, ...]:
    """Return the fields of a place of a tee or peg."""
    place = pair_words((thing["x"], thing["y"])) if "x" in thing and "y" in thing else ""
    return (
        Field(f"{name}-by", "its place is", COURSE, "select", choices, is_wide=True),
        Field(name, "place", place, hint="two numbers, as chosen above"),
    )


def away_field(name: str, is_there: bool) -> tuple[Field, ...]:
    """Return the field by which a row is taken away, none for one that is not there yet."""
    return (Field(name, "take away", kind="tick"),) if is_there else ()


def typed_spot(ground: SiteGround, form: Form, name: str, faults: list[Fault]) -> Json:
    """Return x, y, level and within of a tee or peg; taken from a reading, what the reading is worth comes with it."""
    suffix = ground.ground_suffix
    place: TypedPlace | None = collect(faults, name, typed_place, form, name, ground, "this")
    level = collect(
        faults, f"{name}-level", typed_length, form, f"{name}-level", "level", "the level", suffix
    )
    within = collect(
        faults,
        f"{name}-within",
        typed_length,
        form,
        f"{name}-within",
        "within",
        "how well its place is known",
        suffix,
    )
    if place is not None and place.read is not None:
        read = place.read
        within = collect(faults, f"{name}-by", within_of, read, suffix)
    spot = {"x": place.x, "y": place.y} if place else {}
    return spot | (level or {}) | (within or {})


def read_rows(
    ground: SiteGround,
    form: Form,
    kind: str,
    read: Callable[[SiteGround, Form, str, Json, list[Fault]], Json],
) -> tuple[Tables, list[Fault]]:
    """Return the tables with every row of a kind read by `read`, and what cannot be read; two of one id are refused."""
    faults: list[Fault] = []
    before = ground.tables.get(kind, [])
    rows: list[Json] = []
    for index in rows_of(form, kind):
        name = f"{kind}-{index}"
        old = _row_that_was(before, "id", form.get(f"{name}-was", ""))
        if form.get(f"{name}-away") or (not old and _is_empty(form, name)):
            continue
        row = read(ground, form, name, old, faults)
        if kind == "tee" and "id" in row and not old:
            row["id"] = _free_id(row["id"], [*before, *rows])
        rows.append(row)
    ids = [row.get("id") for row in rows]
    faults += [
        Fault("", f"There are two called {one}; give each a name of its own.")
        for one in sorted({one for one in ids if one})
        if ids.count(one) > 1
    ]
    return _with_rows(ground.tables, kind, rows), faults


def _row_that_was(rows: list[Json], key: str, was: str) -> Json:
    """Return the row that a form was filled from, nothing for a new one or one that is gone."""
    return next((row for row in rows if was and str(row.get(key)) == was), {})


def _is_empty(form: Form, name: str) -> bool:
    typed = {key: value for key, value in form.items() if key == name or key.startswith(f"{name}-")}
    chosen = (f"{name}-kind", f"{name}-by", f"{name}-earth-by")
    return not any(value.strip() for key, value in typed.items() if key not in chosen)


def _free_id(wanted: str, rows: list[Json]) -> str:
    taken = {row.get("id") for row in rows}
    numbered = (f"{wanted}-{number}" for number in range(2, MOST_ROWS + 2))
    return next(one for one in (wanted, *numbered) if one not in taken)


def _with_rows(tables: Tables, kind: str, rows: list[Json]) -> Tables:
    rest = {key: value for key, value in tables.items() if key != kind}
    return {**rest, kind: rows} if rows else rest
