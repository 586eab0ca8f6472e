"""Whether an undo takes anything back: only a record of its own phone, site and hole, and practice only practice."""

from __future__ import annotations

from collections.abc import Iterator

from fieldapp.model import FieldRecord, Undo


def undo_misfits(undo: Undo, named: FieldRecord | None) -> Iterator[str]:
    """Yield why an undo does not count for the record it names; nothing while that has not come (None)."""
    if named is None:
        return
    if undo.device != named.device:
        yield "It names a record of another phone, so it takes nothing back."
    if undo.site != named.site:
        yield f"It names a record of site '{named.site}', so it takes nothing back."
    elif undo.hole != named.hole:
        yield f"It names a record of another hole, {named.hole}, so it takes nothing back."
    if undo.practice != named.practice:
        yield "Of it and the record it names only one is practice, so it takes nothing back."
