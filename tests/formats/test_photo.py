"""A photo is kept as its picture and nothing else; what is no picture, or claims too much, is refused in words."""

import io
import struct
import zlib
from concurrent.futures import ThreadPoolExecutor
from time import sleep

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from fieldapp.errors import FormatError
from fieldapp.formats.photo import AT_ONCE, LONGEST_SIDE, read_photo, small_photo
from tests.photos import COMMENT, GPS, MAKER, jpeg_photo, told_beside

SKY = (150, 190, 230)


def opened(content):
    return Image.open(io.BytesIO(content))


def as_file(kind, size=(40, 30), mode="RGB", **more):
    out = io.BytesIO()
    Image.new(mode, size, SKY + (255,) * (len(mode) - 3)).save(out, kind, **more)
    return out.getvalue()


def near(one, other, by=12):
    return all(abs(a - b) <= by for a, b in zip(one, other, strict=True))


def test_of_a_jpeg_with_its_place_maker_and_comment_only_the_picture_stays():
    sent = jpeg_photo()
    assert set(told_beside(sent)) == {"APP1", "COM"}
    assert dict(opened(sent).getexif().get_ifd(GPS))
    kept = read_photo(sent).content
    assert told_beside(kept) == []
    assert dict(opened(kept).getexif()) == {}
    assert MAKER.encode() not in kept
    assert COMMENT not in kept


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_kinds_lose_it_too(kind):
    exif = Image.Exif()
    exif[0x010F] = MAKER
    sent = as_file(kind, exif=exif)
    assert MAKER.encode() in sent
    assert MAKER.encode() not in read_photo(sent).content


def test_a_picture_taken_upright_stands_upright():
    kept = read_photo(jpeg_photo(320, 240))
    assert (kept.width, kept.height) == (240, 320)
    picture = opened(kept.content)
    assert near(picture.getpixel((120, 20)), SKY)
    assert not near(picture.getpixel((120, 300)), SKY)


def test_a_large_picture_is_made_smaller_and_a_small_one_is_left_its_size():
    large = read_photo(as_file("JPEG", (4000, 1000)))
    assert (large.width, large.height) == (LONGEST_SIDE, 400)
    assert read_photo(as_file("JPEG")).width == 40
    assert opened(small_photo(large.content)).size == (480, 120)


@pytest.mark.parametrize(
    ("kind", "mode"), [("JPEG", "CMYK"), ("JPEG", "L"), ("PNG", "P"), ("PNG", "LA"), ("PNG", "1")]
)
def test_every_kind_of_colours_is_taken(kind, mode):
    sent = io.BytesIO()
    Image.new("RGB", (40, 30), (255, 255, 255)).convert(mode).save(sent, kind)
    assert near(opened(read_photo(sent.getvalue()).content).getpixel((5, 5)), (255, 255, 255), by=4)


def test_what_shows_through_is_white():
    sent = io.BytesIO()
    Image.new("RGBA", (10, 10), (0, 0, 0, 0)).save(sent, "PNG")
    assert near(opened(read_photo(sent.getvalue()).content).getpixel((5, 5)), (255, 255, 255), by=2)


def test_however_many_come_at_once_two_are_decoded_at_a_time(monkeypatch):
    """Each fills the memory with its pixels: ten of 25 million pixels at once took 4 GB."""
    at_once, most, shrunk = [], [], Image.Image.thumbnail

    def watched(picture, size):
        at_once.append(id(picture))  # pictures compare by their pixels
        most.append(len(at_once))
        sleep(0.02)
        shrunk(picture, size)
        at_once.remove(id(picture))

    monkeypatch.setattr(Image.Image, "thumbnail", watched)
    sent = as_file("PNG")
    with ThreadPoolExecutor(6) as pool:
        kept = list(pool.map(lambda read: read(sent), [read_photo, small_photo] * 4))
    assert len(kept) == len(most) == 8
    assert max(most) <= AT_ONCE == 2


def bomb():
    """A PNG of some 70 bytes that claims 60,000 by 60,000 pixels."""
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(b"")), (b"IEND", b""))
    packed = (
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(packed)


NO_PICTURES = {
    "nothing": (b"", "no picture"),
    "words": (b"the peg is behind the broom", "no picture"),
    "half a file": (jpeg_photo()[:1500], "no picture"),
    "another kind": (as_file("GIF"), "no picture"),
    "too many pixels": (bomb(), "6 million pixels"),
    "as many, in a file that holds them": (as_file("PNG", (3001, 2000)), "6 million pixels"),
    "as many, in a file of a few bytes": (as_file("WEBP", (5000, 5000), method=0), "6 million pixels"),
}


@pytest.mark.parametrize("name", NO_PICTURES)
def test_what_is_no_picture_is_refused_in_words(name):
    content, words = NO_PICTURES[name]
    with pytest.raises(FormatError, match=words):
        read_photo(content)


@pytest.mark.filterwarnings("ignore:Corrupt EXIF data")
@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.integers(0, len(jpeg_photo()) - 1), st.binary(min_size=1, max_size=40))
def test_a_damaged_file_is_read_or_refused_and_nothing_else(at, damage):
    sent = jpeg_photo()
    try:
        kept = read_photo(sent[:at] + damage + sent[at + len(damage) :])
    except FormatError:
        return
    assert told_beside(kept.content) == []
