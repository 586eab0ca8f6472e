"""What draws a draft computes only: it imports its own room and the geometry, and touches no document or clock."""

import runpy
from pathlib import Path

import pytest

WEB = Path(__file__).parents[2] / "web"
ROOM = WEB / "desk" / "draft"
RULES = runpy.run_path(str(Path(__file__).with_name("test_phone_layers.py")))
MODULES = sorted(ROOM.glob("*.js"))


def code_of(module):
    return RULES["COMMENT"].sub("", module.read_text(encoding="utf-8"))


def test_the_room_is_not_empty():
    assert {"edits", "whole", "placing", "shapes", "history", "figures"} <= {
        module.stem for module in MODULES
    }


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.name)
def test_a_module_of_a_draft_imports_its_room_and_the_geometry_only(module):
    for name in RULES["IMPORT"].findall(code_of(module)):
        wanted = (module.parent / name).resolve()
        assert wanted.is_file(), name
        assert wanted.parent in (ROOM, WEB / "phone" / "geometry"), name


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.name)
def test_a_module_of_a_draft_is_pure_and_short(module):
    assert RULES["OUTSIDE"].findall(code_of(module)) == []
    assert len(module.read_text(encoding="utf-8").splitlines()) < RULES["MOST_LINES"]
