"""A file of field records as a phone hands it over when nothing else goes: a batch with a header. Version 1.

{"format": "fieldapp-records", "version": 1, "site", "device", "person", "made_at", "counts", "records": [...]}. Only
the records count; the header tells a person what the file is. Somebody may have edited it, or its end may be missing.
"""

from __future__ import annotations

import json

from fieldapp.errors import FormatError
from fieldapp.formats.json_fields import shown
from fieldapp.formats.json_text import read_json
from fieldapp.formats.records import FORMAT, VERSION, Refusal, SentRecord, read_each

MOST_IN_FILE = 50_000
AGAIN = "have the phone hand it over again"


def read_handed_over(content: bytes) -> tuple[list[SentRecord], list[Refusal]]:
    """Read a file's records, each taken or refused by itself.

    Raises FormatError when it is no such file, or one of more records than MOST_IN_FILE, before any is looked at.
    """
    document = _document(content)
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise FormatError(f"It is not a file of field records ('{FORMAT}'); {AGAIN}.")
    version = document.get("version")
    if isinstance(version, bool) or version != VERSION:
        raise FormatError(_version_words(version))
    records = document.get("records")
    if not isinstance(records, list):
        raise FormatError(f"It holds no list of records; {AGAIN}.")
    if len(records) > MOST_IN_FILE:
        raise FormatError(
            f"It holds {len(records):,} records; hand in at most {MOST_IN_FILE:,} as one file, the rest as others."
        )
    sent, refused = read_each(records)
    return sent, [Refusal(item.id, item.detail.replace(" of the batch", "", 1)) for item in refused]


def _document(content: bytes) -> object:
    if not content.strip():
        raise FormatError(f"It is empty; {AGAIN}.")
    try:
        return read_json(content.decode("utf-8-sig"))
    except RecursionError:
        raise FormatError(f"It is nested too deeply to be read; {AGAIN}.") from None
    except UnicodeDecodeError as fault:
        if fault.end >= len(content) and fault.reason == "unexpected end of data":
            raise FormatError(_half_words(content)) from None
        raise FormatError(f"It is not text in UTF-8, so not a file of field records; {AGAIN}.") from None
    except ValueError as fault:
        if _ends_early(content, fault):
            raise FormatError(_half_words(content)) from None
        where = f" (line {fault.lineno})" if isinstance(fault, json.JSONDecodeError) else ""
        raise FormatError(f"It is not JSON that can be read{where}; {AGAIN}, unedited.") from None


def _ends_early(content: bytes, fault: ValueError) -> bool:
    """Whether JSON began well and only its end is missing."""
    text = content.decode("utf-8-sig").rstrip()
    if not isinstance(fault, json.JSONDecodeError) or not text.startswith("{"):
        return False
    return fault.pos >= len(text) - 1 or fault.msg.startswith("Unterminated string")


def _half_words(content: bytes) -> str:
    return f"Its end is missing: only {len(content):,} bytes came, half a file; {AGAIN}."


def _version_words(version: object) -> str:
    newer = isinstance(version, int) and not isinstance(version, bool) and version > VERSION
    remedy = "update fieldapp, then take it in again" if newer else AGAIN
    return f"It is of version {shown(version)} of '{FORMAT}', and this fieldapp knows {VERSION}; {remedy}."
