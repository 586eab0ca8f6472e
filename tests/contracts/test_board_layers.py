"""The drawing board's rooms: what is drawn, what is said and what is sent meet only in the modules that wire them."""

import pytest

from tests.contracts.test_phone_layers import IMPORT, MOST_LINES, OUTSIDE, PHONE, imports_of

DESK = PHONE.parent / "desk"
ROOMS = {
    "draft": {"draft", "geometry"},
    "sheet": {"sheet", "view", "geometry", "session"},
    "post": {"post", "device", "draft"},
    "card": {"card", "draft", "post", "view", "session", "geometry", ""},
    "": {"", "draft", "sheet", "post", "card", "view"},
}
PURE = {"sheet/camera.js", "sheet/touching.js", "card/clear.js", "card/typed.js", "bench.js"}


def brought_in_by(module, known):
    """Return the modules of the desk that one brings in, itself and theirs too."""
    known.add(module)
    for name in imports_of(module):
        wanted = (module.parent / name).resolve()
        if wanted.is_relative_to(DESK) and wanted.is_file() and wanted not in known:
            brought_in_by(wanted, known)
    return known


MODULES = sorted(brought_in_by((DESK / "board.js").resolve(), set()))


def room_of(module):
    return module.parent.name if module.parent != DESK else ""


def named(module):
    return module.relative_to(DESK).as_posix()


def test_every_room_is_known():
    assert {room_of(module) for module in MODULES} == set(ROOMS)
    assert IMPORT.findall("import { a } from './b.js';") == ["./b.js"]
    assert IMPORT.findall("const PART = 'import'; const WORDS = 'of';") == []


@pytest.mark.parametrize("module", MODULES, ids=named)
def test_a_module_of_the_board_is_short_and_imports_only_what_its_room_may(module):
    assert len(module.read_text(encoding="utf-8").splitlines()) < MOST_LINES
    for name in imports_of(module):
        wanted = (module.parent / name).resolve()
        assert wanted.is_file(), name
        assert room_of(wanted) in ROOMS[room_of(module)], name


@pytest.mark.parametrize(
    "module", [m for m in MODULES if named(m) in PURE or room_of(m) == "draft"], ids=named
)
def test_what_computes_touches_no_document_device_or_clock(module):
    assert OUTSIDE.findall(module.read_text(encoding="utf-8")) == []
