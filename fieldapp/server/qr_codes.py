"""QR codes: drawn in a terminal, or within a page."""

from __future__ import annotations

import io
import sys

import segno


def terminal_qr_code(text: str) -> str:
    """Return a code drawn with block characters; nothing where the terminal cannot show them."""
    out = io.StringIO()
    segno.make(text, error="l", micro=False).terminal(out, border=2, compact=True)
    drawn = out.getvalue()
    try:
        drawn.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        return ""
    return drawn


def inline_qr_code(text: str, label: str) -> str:
    """Return a code as SVG to stand within a page, under a policy that allows no styles of its own."""
    code = segno.make(text, error="m")
    return code.svg_inline(
        border=2, scale=5, dark="#0d1a12", light="#ffffff", title=label, svgclass="qr-code", omitsize=True
    )
