"""A site as the text of a site file, readable by a person; read again it gives the very same site."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

import tomli_w

from fieldapp.formats.lengths import METRES_PER_SUFFIX, SUFFIX_OF, from_metres
from fieldapp.formats.site_grid_reading import coordinate_factor
from fieldapp.formats.site_reading import FORMAT, VERSION
from fieldapp.model import (
    Bunker,
    ControlPoint,
    DrawnShape,
    Ellipse,
    FittedGrid,
    GridDefinition,
    Hole,
    KeepClear,
    LocalGrid,
    Outline,
    Peg,
    Placement,
    Plan,
    Site,
    Tee,
)

LEVELS_FILE = "levels.csv"
Lines = Iterator[str]


def site_text(site: Site) -> str:
    """Return a whole site as one text, spot levels and outlines within it."""
    writer = _Writer(site)
    return writer.text(writer.levels_within())


def site_and_levels(site: Site) -> tuple[str, str | None]:
    """Return the text of site.toml and that of the file of spot levels, None where there are none."""
    writer = _Writer(site)
    if not site.spot_levels:
        return writer.text(iter(())), None
    return writer.text(iter([_text("spot_levels", LEVELS_FILE)])), writer.levels_file()


class _Writer:
    """Writes in the units of one site."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self._factor = coordinate_factor(site.units, site.grid)

    def text(self, levels: Lines) -> str:
        site = self._site
        blocks = [
            self._head(levels),
            self._units(),
            self._rules(),
            self._grid(site.grid),
            *map(self._hole, site.holes),
            *map(self._tee, site.tees),
            *map(self._peg, site.pegs),
            *map(self._keep_clear, site.keep_clear),
            *(block for bunker in site.bunkers for block in self._bunker(bunker)),
        ]
        return "\n".join("".join(f"{line}\n" for line in block) for block in blocks)

    def levels_within(self) -> Lines:
        if self._site.spot_levels:
            yield "spot_levels = ["
            for row in self._level_rows():
                yield f"  [{', '.join(row)}],"
            yield "]"

    def levels_file(self) -> str:
        return "".join(f"{','.join(row)}\n" for row in (["x", "y", "level"], *self._level_rows()))

    def _level_rows(self) -> Iterator[list[str]]:
        for spot in self._site.spot_levels:
            yield [self._coordinate(value) for value in (spot.x, spot.y, spot.level_m)]

    def _head(self, levels: Lines) -> Lines:
        yield _text("format", FORMAT)
        yield f"version = {VERSION}"
        yield _text("id", self._site.id)
        yield _text("name", self._site.name)
        yield from _note(self._site.note)
        yield from levels

    def _units(self) -> Lines:
        units = self._site.units
        yield "[units]"
        yield _text("yardage", units.yardage)
        yield _text("ground", units.ground)
        yield _text("coordinates", units.coordinates)

    def _rules(self) -> Lines:
        rules = self._site.rules
        yield "[set_out]"
        yield from self._ground("tolerance", rules.tolerance_m)
        yield from self._ground("spacing", rules.spacing_m)
        yield from self._ground("sagitta", rules.sagitta_m)
        yield from self._ground("tape_length", rules.tape_length_m)
        yield from self._ground("tape_error", rules.tape_error_m)

    def _grid(self, grid: GridDefinition) -> Lines:
        yield "[grid]"
        if isinstance(grid, LocalGrid):
            yield 'kind = "local"'
            yield f"origin_lat_deg = {_figures(grid.origin_lat_deg)}"
            yield f"origin_lon_deg = {_figures(grid.origin_lon_deg)}"
            yield from self._ground("origin_height", grid.origin_height_m)
            yield f"origin_x = {self._coordinate(grid.origin_x)}"
            yield f"origin_y = {self._coordinate(grid.origin_y)}"
            yield f"north_bearing_deg = {_figures(grid.north_bearing_deg)}"
            return
        if isinstance(grid, FittedGrid):
            yield 'kind = "fitted"'
            yield _text("scale", grid.scale)
            yield from self._ground("ground_height", grid.ground_height_m)
            yield from self._ground("max_residual", grid.max_residual_m)
            return
        yield 'kind = "projected"'
        yield _text("crs", grid.crs)
        yield from self._ground("ground_height", grid.ground_height_m)
        yield _text("gnss_crs", grid.gnss_crs)
        if grid.epoch is not None:
            yield f"epoch = {_figures(grid.epoch)}"
        yield from self._ground("accept_error", grid.accept_error_m)

    def _hole(self, hole: Hole) -> Lines:
        yield "[[hole]]"
        yield f"number = {hole.number}"
        yield _text("name", hole.name)
        yield f"green = {self._pair(hole.green_x, hole.green_y)}"
        yield from self._ground("green_level", hole.green_level_m)
        if hole.turning_points:
            yield f"turning_points = [{', '.join(self._pair(x, y) for x, y in hole.turning_points)}]"
        if hole.fairway:
            yield f"fairway = [{', '.join(self._pair(x, y) for x, y in hole.fairway)}]"

    def _tee(self, tee: Tee) -> Lines:
        yield "[[tee]]"
        yield _text("id", tee.id)
        yield f"hole = {tee.hole}"
        yield _text("name", tee.name)
        yield from self._place_and_level(tee)
        yield from self._ground("within", tee.within_m)

    def _peg(self, peg: Peg) -> Lines:
        yield "[[peg]]"
        yield _text("id", peg.id)
        yield _text("kind", peg.kind)
        yield from self._place_and_level(peg)
        if peg.position is not None:
            yield f"lat_deg = {_figures(peg.position.lat_deg)}"
            yield f"lon_deg = {_figures(peg.position.lon_deg)}"
            yield from self._ground("height", peg.position.height_m)
        yield from self._ground("within", peg.within_m)
        yield from _note(peg.note)

    def _keep_clear(self, thing: KeepClear) -> Lines:
        yield "[[keep_clear]]"
        yield _text("id", thing.id)
        yield _text("kind", thing.kind)
        if thing.name:
            yield _text("name", thing.name)
        yield _text("extent", thing.extent)
        yield f"points = [{', '.join(self._pair(x, y) for x, y in thing.points)}]"
        yield from self._ground("clearance", thing.clearance_m)
        yield from _note(thing.note)

    def _place_and_level(self, thing: Tee | Peg) -> Lines:
        yield f"x = {self._coordinate(thing.x)}"
        yield f"y = {self._coordinate(thing.y)}"
        yield from self._ground("level", thing.level_m)

    def _bunker(self, bunker: Bunker) -> Iterator[Lines]:
        yield self._bunker_head(bunker)
        if bunker.place is not None:
            yield self._place(bunker.place)
        if bunker.plan is not None:
            yield self._plan(bunker.plan)
        yield from map(self._outline, bunker.outlines)

    def _bunker_head(self, bunker: Bunker) -> Lines:
        yield "[[bunker]]"
        yield _text("id", bunker.id)
        yield f"hole = {bunker.hole}"
        yield _text("name", bunker.name)
        yield _text("revision", bunker.revision)
        yield from self._ground("floor_level", bunker.floor_level_m)
        yield from _note(bunker.note)

    def _place(self, place: Placement) -> Lines:
        yield "[bunker.place]"
        yield _text("tee", place.tee)
        yield from self._yardage("along", place.along_m)
        yield from self._yardage("offset", place.offset_m)
        yield f"skew_deg = {_figures(place.skew_deg)}"

    def _plan(self, plan: Plan) -> Lines:
        yield "[bunker.plan]"
        yield _text("tee", plan.tee)
        yield from self._yardage("reach", plan.reach_m)
        yield from self._yardage("carry", plan.carry_m)
        yield from self._yardage("along", plan.along_m)
        yield from self._yardage("offset", plan.offset_m)
        yield from self._yardage("tolerance", plan.tolerance_m)

    def _outline(self, outline: Outline) -> Lines:
        yield "[[bunker.outline]]"
        yield _text("id", outline.id)
        yield _text("part", outline.part)
        yield from self._ground("level", outline.level_m)
        yield from self._ground("above_ground", outline.above_ground_m)
        shape = outline.shape
        if isinstance(shape, DrawnShape):
            yield from self._drawn(shape)
            return
        yield _text("shape", "ellipse" if isinstance(shape, Ellipse) else "kidney")
        yield from self._ground("length", shape.length_m)
        yield from self._ground("width", shape.width_m)
        if not isinstance(shape, Ellipse):
            yield from self._ground("waist", shape.waist_m)

    def _drawn(self, shape: DrawnShape) -> Lines:
        yield _text("curve", shape.curve)
        yield f"closed = {'true' if shape.closed else 'false'}"
        yield "points = ["
        yield from (f"  {self._point(point)}," for point in shape.points)
        yield "]"

    def _point(self, point: ControlPoint) -> str:
        x, y = self._coordinate(point.x), self._coordinate(point.y)
        return f"[{x}, {y}]" if point.role == "plain" else f'[{x}, {y}, "{point.role}"]'

    def _pair(self, x: float, y: float) -> str:
        return f"[{self._coordinate(x)}, {self._coordinate(y)}]"

    def _coordinate(self, value_m: float) -> str:
        return from_metres(value_m, self._factor)

    def _yardage(self, name: str, length_m: float | None) -> Lines:
        return _length(name, length_m, (SUFFIX_OF[self._site.units.yardage], "m"))

    def _ground(self, name: str, length_m: float | None) -> Lines:
        return _length(name, length_m, (SUFFIX_OF[self._site.units.ground], "m"))


def _length(name: str, length_m: float | None, suffixes: Sequence[str]) -> Lines:
    """Yield a length in that one of the units that takes fewest figures; nothing for no length."""
    if length_m is not None:
        written = [(from_metres(length_m, METRES_PER_SUFFIX[suffix]), suffix) for suffix in suffixes]
        figures, suffix = min(written, key=lambda pair: len(pair[0]))
        yield f"{name}_{suffix} = {figures}"


def _note(note: str) -> Lines:
    if note:
        yield _text("note", note)


def _text(key: str, text: str) -> str:
    return tomli_w.dumps({key: text}).rstrip("\n")


def _figures(number: float) -> str:
    return from_metres(number, Fraction(1))
