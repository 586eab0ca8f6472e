"""The phone page's rooms: imports point one way, and what computes touches no document, device or clock."""

import re
from pathlib import Path

import pytest

PHONE = Path(__file__).parents[2] / "web" / "phone"
MAY_IMPORT = {
    "geometry": {"geometry"},
    "session": {"session", "geometry"},
    "device": {"device"},
    "view": {"view"},
    "": {"", "session", "geometry", "device", "view"},
}
IMPORT = re.compile(r"""(?<!['"])(?:\bfrom\s*|\bimport\s*\(?\s*)['"]([^'"]+)['"]""")
OUTSIDE = re.compile(
    r"\b(?:document|navigator|window|globalThis|performance|localStorage|indexedDB|crypto)\b\s*[.\[(]"
    r"|\b(?:fetch|setTimeout|setInterval|requestAnimationFrame|addEventListener)\s*\("
    r"|\bDate\.now\b|\bnew Date\(\s*\)|\bMath\.random\b"
)
COMMENT = re.compile(r"/\*.*?\*/|^\s*//.*?$", re.DOTALL | re.MULTILINE)
MODULES = sorted(PHONE.rglob("*.js"))
MOST_LINES = 200


def room_of(module):
    parts = module.relative_to(PHONE).parts
    return parts[0] if len(parts) > 1 else ""


def imports_of(module):
    return IMPORT.findall(COMMENT.sub("", module.read_text(encoding="utf-8")))


def named(module):
    return str(module.relative_to(PHONE))


def test_every_room_is_known():
    assert {room_of(module) for module in MODULES} == set(MAY_IMPORT)


@pytest.mark.parametrize("module", MODULES, ids=named)
def test_a_module_imports_only_rooms_below_its_own(module):
    for name in imports_of(module):
        assert name.startswith("."), f"{name} is no file beside this one"
        wanted = (module.parent / name).resolve()
        assert wanted.is_file(), name
        assert room_of(wanted) in MAY_IMPORT[room_of(module)], name


@pytest.mark.parametrize(
    "module", [module for module in MODULES if room_of(module) in {"geometry", "session"}], ids=named
)
def test_geometry_and_session_touch_no_document_device_or_clock(module):
    assert OUTSIDE.findall(COMMENT.sub("", module.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize("module", MODULES, ids=named)
def test_a_module_stays_short_enough_to_read(module):
    assert len(module.read_text(encoding="utf-8").splitlines()) < MOST_LINES


def test_the_rules_see_what_they_forbid():
    """A rule that never finds anything proves nothing."""
    assert IMPORT.findall("import { a } from '../view/b.js';") == ["../view/b.js"]
    assert OUTSIDE.findall("const at = Date.now();") == ["Date.now"]
    assert OUTSIDE.findall("document.body") == ["document."]
