"""Drafts in a backup: the site version that one grew from is told by its place among the versions, from 0."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from fieldapp.errors import FieldappError, FormatError
from fieldapp.formats.draft import read_draft
from fieldapp.formats.site_draft import read_site_draft
from fieldapp.store.draft_places import read_waiting_text
from fieldapp.store.drafts import PLACES, WHOLE_SITE

_NO_DRAFT = (ValueError, KeyError, TypeError, AttributeError, RecursionError, FieldappError)


def grown_elsewhere(bunker_id: str, document: str, versions: Mapping[int, int]) -> str:
    """Return a draft's document with the number of the site version that it grew from turned into another."""
    if bunker_id == PLACES:
        return document
    content = json.loads(document)
    of_site = bunker_id == WHOLE_SITE
    holder: dict[str, Any] = content if of_site else content["from"]
    key = "from_version" if of_site else "site_version"
    known = holder[key]
    holder[key] = None if known is None else versions.get(known)
    if holder[key] == known:
        return document
    return json.dumps(content, ensure_ascii=False, separators=None if of_site else (",", ":"))


def check_backed(bunker_id: str, document: str) -> None:
    """Refuse a document of a backup that is no draft of that bunker, site or place; raises FormatError."""
    try:
        if bunker_id == WHOLE_SITE:
            read_site_draft(document)
        elif bunker_id == PLACES:
            read_waiting_text(document)
        elif read_draft(json.loads(document)).bunker.id != bunker_id:
            raise FormatError("It is of another bunker.")
    except _NO_DRAFT as fault:
        raise FormatError(
            "history.json in the zip holds a draft that cannot be read; take it out, or take the zip anew."
        ) from fault
