"""XML of a drawing, refused where it holds entities or lies too deep in itself."""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element, ParseError

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import DrawingLimits
from fieldapp.formats.drawing_found import clean

TAGS_PER_POINT = 10
"""More tags than this for each point that may be read are taken for a file that is made to fill the memory."""
MOST_LEVELS = 100


def xml_root(content: bytes, limits: DrawingLimits) -> Element:
    """Return the root of an XML text; raises FormatError."""
    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import fromstring

    if content.count(b"<") > TAGS_PER_POINT * limits.most_points:
        raise FormatError(
            f"It has more than {TAGS_PER_POINT * limits.most_points:,} tags; keep only the lines that are needed."
        )
    try:
        root: Element = fromstring(content, forbid_dtd=True)
    except DefusedXmlException as fault:
        raise FormatError(
            "Its XML defines entities of its own, which are not read; save it without."
        ) from fault
    except ParseError as fault:
        raise FormatError(f"It is no sound XML ({clean(str(fault))}).") from fault
    except (ValueError, LookupError, RecursionError) as fault:
        raise FormatError("Its XML cannot be read; save it as UTF-8.") from fault
    _check_depth(root)
    return root


def _check_depth(root: Element) -> None:
    level = [root]
    for _ in range(MOST_LEVELS):
        level = [child for element in level for child in element]
        if not level:
            return
    raise FormatError(
        f"Its XML has more than {MOST_LEVELS} levels in each other; save it with fewer folders."
    )


def tag(element: Element) -> str:
    """Return an element's name without its namespace."""
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def children(element: Element, name: str) -> Iterator[Element]:
    """Yield the children of a name, whatever their namespace."""
    return (child for child in element if tag(child) == name)


def text_in(element: Element, name: str) -> str:
    """Return the text of the first child of a name; empty where there is none."""
    return next((child.text or "" for child in children(element, name)), "").strip()


def xml_text(text: str) -> str:
    """Return text as it stands between tags; what XML has no letter for becomes a blank."""
    sound = "".join(letter if letter.isprintable() else " " for letter in text)
    return sound.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
