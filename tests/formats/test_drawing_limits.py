"""Files made to fill the memory, or to keep a processor busy, are refused in words before they do."""

import io
import tracemalloc
import zipfile

import ezdxf
import pytest

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import DrawingLimits, read_drawing
from tests.formats.drawing_files import samples

BILLION_LAUGHS = """<?xml version="1.0"?><!DOCTYPE kml [<!ENTITY a "aaaaaaaaaa">
<!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>
<kml><Document><name>&c;</name></Document></kml>"""
FROM_DISK = """<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/hostname">]>
<gpx version="1.1"><wpt lat="1" lon="2"><name>&x;</name></wpt></gpx>"""
KML_OF_BLANKS = b"<kml><Document>" + b" " * 30_000_000 + b"</Document></kml>"


def refusal(content, **limits):
    with pytest.raises(FormatError) as found:
        read_drawing("x", content, DrawingLimits(**limits))
    return str(found.value)


def packed(members):
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, inner in members.items():
            archive.writestr(name, inner)
    return made.getvalue()


@pytest.mark.parametrize("text", [BILLION_LAUGHS, FROM_DISK])
def test_entities_of_its_own_are_refused(text):
    assert "defines entities of its own" in refusal(text.encode())


def test_a_zip_bomb_is_refused_before_it_is_unpacked():
    bomb = packed({"doc.kml": KML_OF_BLANKS})
    tracemalloc.start()
    assert "200 times what it is packed" in refusal(bomb)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert most < 15_000_000, "30 MB are packed in it"
    assert "larger than 1.0 MB" in refusal(bomb, most_ratio=1e6, most_unpacked_bytes=1_000_000)


def test_a_zip_that_lies_about_its_sizes_is_not_believed():
    bomb = packed({"doc.kml": KML_OF_BLANKS})
    size = len(KML_OF_BLANKS).to_bytes(4, "little")
    lying = bomb.replace(size, (1_000).to_bytes(4, "little"))
    assert lying != bomb
    assert "cannot be brought in: " in refusal(lying)


def test_many_members_and_a_locked_zip_are_refused():
    assert "more than 20 files" in refusal(packed({f"{n}.shp": b"" for n in range(21)}), most_members=20)
    locked = bytearray(samples()["own.kmz"])
    for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        locked[locked.index(mark) + at] |= 1
    assert "locked with a password" in refusal(bytes(locked))


def test_files_too_large_are_refused_by_what_is_too_large():
    assert "at most 0.0 MB are read" in refusal(samples()["own.gpx"], most_bytes=1_000)
    assert "more than 10 points" in refusal(samples()["own.dxf"], most_points=10)
    assert "more than 2 lines and spots" in refusal(samples()["own.csv"], most_lines=2)
    assert "tags; keep only the lines" in refusal(samples()["own.gpx"], most_points=5)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"<kml>" + b"<Folder>" * 5_000 + b"</Folder>" * 5_000 + b"</kml>", "more than 100 levels"),
        (b"[" * 100_000, "JSON cannot be read"),
        (b'{"type":"Polygon","coordinates":' + b"[" * 100_000 + b"]" * 100_000 + b"}", "JSON cannot be read"),
        (
            b'{"type":"GeometryCollection","geometries":[' * 60 + b"]}" * 60,
            "Its collections lie too deep in each other",
        ),
        (b'{"type":"Point","coordinates":[1e999,1]}', "coordinates are no sound numbers"),
        (b'{"type":"Point","coordinates":[' + b"9" * 5_000 + b",1]}", "cannot be brought in"),
        (b"x,y\n" + b"nan,inf\n" * 5, "rows without two numbers"),
    ],
)
def test_what_lies_too_deep_or_is_too_large_a_number_is_refused(content, words):
    assert words in refusal(content)


def blocks_in_blocks(levels, each):
    """A drawing in which block n holds block n + 1 several times; the last one is empty."""
    document = ezdxf.new("R2010")
    for level in range(levels):
        block = document.blocks.new(f"B{level}")
        for _ in range(each if level < levels - 1 else 0):
            block.add_blockref(f"B{level + 1}", (0, 0))
    document.modelspace().add_blockref("B0", (0, 0))
    written = io.StringIO()
    document.write(written)
    return written.getvalue().encode()


def test_blocks_in_blocks_are_refused_where_they_are_too_many_or_too_deep():
    assert "those of its blocks counted" in refusal(blocks_in_blocks(12, 10), most_points=2_000)
    assert "too deep in each other" in refusal(blocks_in_blocks(12, 1), most_depth=8)


def test_a_block_placed_a_milliard_times_is_refused():
    document = ezdxf.new("R2010")
    document.blocks.new("B").add_point((0, 0))
    placed = document.modelspace().add_blockref("B", (0, 0))
    placed.dxf.row_count = placed.dxf.column_count = 30_000
    placed.dxf.row_spacing = placed.dxf.column_spacing = 1.0
    written = io.StringIO()
    document.write(written)
    assert "more than 1,000 points" in refusal(written.getvalue().encode(), most_points=1_000)
