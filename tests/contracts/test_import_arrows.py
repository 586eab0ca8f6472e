"""Imports point one way, and each third-party library has one door."""

import ast
from pathlib import Path

import pytest

import fieldapp

PACKAGE = Path(fieldapp.__file__).parent
LAYERS = (
    ("errors",),
    ("model",),
    ("geodesy", "outline", "play", "reading", "tape"),
    ("settings", "shipped_files"),
    ("formats",),
    ("store",),
    ("workflow",),
    ("server",),
    ("cli", "links_cli", "sites_cli", "yardage_cli", "tape_cli"),
    ("__main__",),
)
CORE = ("model", "geodesy", "outline", "play", "reading", "tape")
DOORS = {
    "pyproj": ("geodesy",),
    "pygeomag": ("geodesy",),
    "shapely": ("geodesy", "outline", "play", "reading", "tape", "formats"),
    "scipy": ("tape",),
    "PIL": ("formats",),
    "ezdxf": ("formats",),
    "gpxpy": ("formats",),
    "shapefile": ("formats",),
    "defusedxml": ("formats",),
    "rasterio": ("formats",),
    "tomllib": ("formats",),
    "tomli_w": ("formats",),
    "sqlalchemy": ("store",),
    "alembic": ("store",),
    "fastapi": ("server",),
    "starlette": ("server",),
    "jinja2": ("server",),
    "uvicorn": ("server",),
    "cryptography": ("server",),
    "segno": ("server",),
    "typer": ("cli", "links_cli", "sites_cli", "yardage_cli", "tape_cli"),
}
NOT_IN_THE_CORE = {
    "sqlite3",
    "socket",
    "urllib",
    "http",
    "threading",
    "subprocess",
    "time",
    "random",
    "logging",
}
MODULES = sorted(PACKAGE.rglob("*.py"))


def layer_of(room):
    return next(rank for rank, rooms in enumerate(LAYERS) if room in rooms)


def room_of(module):
    parts = module.relative_to(PACKAGE).with_suffix("").parts
    return parts[0]


def imports_of(module):
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}: a relative import"
            assert node.module is not None
            yield from (
                [f"fieldapp.{name.name}" for name in node.names]
                if node.module == "fieldapp"
                else [node.module]
            )


@pytest.mark.parametrize("module", MODULES, ids=lambda module: str(module.relative_to(PACKAGE)))
def test_a_module_imports_its_own_layer_or_a_lower_one(module):
    room = room_of(module)
    if room == "__init__":
        return
    for name in imports_of(module):
        if name.startswith("fieldapp."):
            wanted = name.split(".")[1]
            assert layer_of(wanted) <= layer_of(room), f"{room} imports {name}"


@pytest.mark.parametrize("module", MODULES, ids=lambda module: str(module.relative_to(PACKAGE)))
def test_a_library_is_imported_only_through_its_door(module):
    for name in imports_of(module):
        library = name.split(".")[0]
        assert room_of(module) in DOORS.get(library, (room_of(module),)), (
            f"{library} outside {DOORS[library]}"
        )


@pytest.mark.parametrize(
    "module",
    [module for module in MODULES if room_of(module) in CORE],
    ids=lambda module: str(module.relative_to(PACKAGE)),
)
def test_the_core_knows_no_clock_network_or_database(module):
    assert not {name.split(".")[0] for name in imports_of(module)} & NOT_IN_THE_CORE


def test_every_library_with_a_door_is_used_behind_it():
    used = {name.split(".")[0] for module in MODULES for name in imports_of(module)}
    assert set(DOORS) <= used
