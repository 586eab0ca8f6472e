"""Valid files made invalid in the ways that files go wrong."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping

NASTY = (
    b"NaN", b"Infinity", b"-1e999", b"1e308", b"1e-308", b"0", b"-1", b"2147483647", b"-2147483648", b"9" * 20,
    b"\x00", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"<", b"]]>", b"&amp;", b"&x;", b'"', b"\n", b"  0\nSECTION\n",
    b"  0\nINSERT\n  2\nTREE\n", b"\xf0\x9f\x8c\xb1", b"\xed\xa0\x80", b"[[[[", b"{}", b"null", b"",
)  # fmt: skip
_NUMBER = re.compile(rb"-?\d+(?:\.\d+)?")


def _flipped(content: bytes, chance: random.Random) -> bytes:
    out = bytearray(content)
    for _ in range(chance.choice((1, 1, 2, 8, 40))):
        out[chance.randrange(len(out))] = chance.randrange(256)
    return bytes(out)


def _cut(content: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(content))
    return content[:at] if chance.random() < 0.7 else content[at:]


def _cut_out(content: bytes, chance: random.Random) -> bytes:
    a, b = sorted(chance.randrange(len(content) + 1) for _ in range(2))
    return content[:a] + content[min(b, a + 400) :]


def _doubled(content: bytes, chance: random.Random) -> bytes:
    a, b = sorted(chance.randrange(len(content) + 1) for _ in range(2))
    return content[:b] + content[a:b][:4000] * chance.choice((1, 2, 20)) + content[b:]


def _nasty(content: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(content) + 1)
    return content[:at] + chance.choice(NASTY) * chance.choice((1, 1, 1, 50)) + content[at:]


def _other_number(content: bytes, chance: random.Random) -> bytes:
    """Put something in the place of a number, where most of the meaning is."""
    numbers = list(_NUMBER.finditer(content))
    if not numbers:
        return content
    found = chance.choice(numbers)
    return content[: found.start()] + chance.choice(NASTY) + content[found.end() :]


def _lines_changed(content: bytes, chance: random.Random) -> bytes:
    lines = content.split(b"\n")
    a, b = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[a], lines[b] = lines[b], lines[a]
    return b"\n".join(lines)


WAYS: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    _flipped, _cut, _cut_out, _doubled, _nasty, _other_number, _other_number, _lines_changed,
)  # fmt: skip


def mutated(content: bytes, chance: random.Random, others: Mapping[str, bytes]) -> bytes:
    """Return a file changed in one to four ways, now and then with the end of another behind its beginning."""
    for _ in range(chance.choice((1, 1, 2, 4))):
        if content:
            content = chance.choice(WAYS)(content, chance)
    if chance.random() < 0.05:
        other = chance.choice(list(others.values()))
        content = content[: chance.randrange(len(content) + 1)] + other[chance.randrange(len(other)) :]
    return content
