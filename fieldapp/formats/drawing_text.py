"""The text of a drawing's file, whatever it is encoded in."""

from __future__ import annotations

import codecs

MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def text_of(content: bytes) -> tuple[str, str]:
    """Return a file's text, and in words how it was read where that is a guess.

    What is neither marked nor UTF-8 is read as code page 1252, Western letters, in which every byte has a meaning.
    """
    for mark, name in MARKS:
        if content.startswith(mark):
            return content.decode(name, errors="replace"), ""
    try:
        return content.decode("utf-8"), ""
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
        return text, "It is not UTF-8 text; its letters are read as Western ones (code page 1252)."
