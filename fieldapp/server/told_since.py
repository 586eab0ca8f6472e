"""The answer to phones that ask for the marks since: the same question of many is answered once, and packed once."""

from __future__ import annotations

import gzip
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import orjson
from fastapi import Request
from fastapi.responses import Response

from fieldapp.errors import FieldappError
from fieldapp.store.engine import Store
from fieldapp.workflow.records import records_since

SMALLEST_PACKED = 500
QUICK_PACKING = 3
"""A level: thousands of marks packed at the usual 6 are a fifteenth smaller and take twice as long."""


class Question(NamedTuple):
    """What changed among the marks of a hole after a sequence number?"""

    site_id: str
    hole: int
    since: int


@dataclass(frozen=True)
class Told:
    """An answer in JSON, and packed where that is worth it."""

    plain: bytes
    packed: bytes | None

    def response(self, request: Request) -> Response:
        """Return the answer as this phone can read it."""
        can_unpack = "gzip" in request.headers.get("accept-encoding", "")
        if self.packed is None or not can_unpack:
            return Response(self.plain, media_type="application/json")
        headers = {"content-encoding": "gzip", "vary": "Accept-Encoding"}
        return Response(self.packed, media_type="application/json", headers=headers)


def answer_all(store: Store, questions: Sequence[Question]) -> list[Told | Exception]:
    """Return for each question its answer, or why there is none."""
    answers = {question: _answer(store, question) for question in dict.fromkeys(questions)}
    return [answers[question] for question in questions]


def _answer(store: Store, question: Question) -> Told | Exception:
    try:
        found = records_since(store, *question)
    except FieldappError as fault:
        return fault
    plain = orjson.dumps(vars(found))
    packed = gzip.compress(plain, QUICK_PACKING) if len(plain) > SMALLEST_PACKED else None
    return Told(plain, packed)
