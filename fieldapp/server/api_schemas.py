"""JSON Schemas of what the interface for programs takes and answers, as its description shows them."""

from __future__ import annotations

from fieldapp.formats import bundle, records
from fieldapp.model.visitor import ROLES
from fieldapp.server import offline
from fieldapp.server.board_schemas import BOARD
from fieldapp.server.draft_schemas import DRAFT_SCHEMAS
from fieldapp.server.import_schemas import IMPORT_SCHEMAS
from fieldapp.server.record_schemas import (
    ID,
    MOMENT,
    NAME,
    STANDING_MARK,
    WHOLE,
    WORDS,
    Schema,
    list_,
    object_,
    or_null_,
    ref,
    text_,
)
from fieldapp.server.tape_schemas import RECORD

NOTE = {"detail": text_()}
REVISIONS: Schema = {
    "type": "object",
    "additionalProperties": text_(),
    "description": "the revision that stands of each bunker there, by its id",
}

SCHEMAS: dict[str, Schema] = {
    "Problem": object_(
        {
            "type": text_(),
            "title": text_(),
            "status": {"type": "integer", "minimum": 400, "maximum": 599},
            "detail": text_(description="what is wrong, where, and what to do, for a person"),
            "instance": text_(),
        },
        description="RFC 9457.",
    ),
    "Me": object_(
        {"name": text_(), "role": text_(enum=list(ROLES)), "crew": {"type": "boolean"}},
        description="Who asks, by the link that let this device in.",
    ),
    "Sites": object_(
        {
            "sites": list_(
                object_(
                    {
                        "id": text_(),
                        "name": text_(),
                        "note": text_(),
                        "content_id": text_(),
                        "sequence": {"type": "integer"},
                        "loaded_at": MOMENT,
                        "holes": list_(object_({"number": {"type": "integer"}, "name": text_()})),
                        "bunkers": list_(
                            object_(
                                {
                                    "id": text_(),
                                    "hole": {"type": "integer"},
                                    "name": text_(),
                                    "revision": text_(),
                                }
                            )
                        ),
                    }
                )
            )
        }
    ),
    "Bundle": object_(
        {
            "format": {"const": bundle.FORMAT},
            "version": {"const": bundle.VERSION},
            "content_id": text_(),
            "made_at": MOMENT,
            "site": object_({"id": text_(), "name": text_()}),
            "hole": {"type": "object"},
            "bunkers": list_({"type": "object"}),
            "marks": list_(ref("StandingMark")),
        },
        description="Everything a phone needs for one hole.",
    ),
    "Board": BOARD,
    "StandingMark": STANDING_MARK,
    "Record": RECORD,
    "Batch": object_(
        {
            "format": {"const": records.FORMAT},
            "version": {"const": records.VERSION},
            "records": list_(ref("Record")),
        },
        description=f"At most {records.MOST_IN_BATCH:,} records; each is taken or refused by itself.",
    ),
    "Receipt": object_(
        {
            "stored": {**list_(text_()), "description": "ids that are on disk now"},
            "refused": list_(object_({"id": or_null_(text_()), **NOTE})),
            "remarks": list_(object_({"id": text_(), **NOTE})),
            "revisions": REVISIONS,
        }
    ),
    "StoredPhoto": object_(
        {"stored": ID}, description="The photo is on disk, as its picture only; sent again it is stored once."
    ),
    "Clock": object_({"now": MOMENT}),
    "FieldIndex": object_(
        {
            "format": {"const": offline.INDEX_FORMAT},
            "version": {"const": offline.INDEX_VERSION},
            "site": text_(),
            "name": text_(),
            "now": MOMENT,
            "pegs": {"type": "integer"},
            "holes": list_(
                object_(
                    {
                        "number": {"type": "integer"},
                        "name": text_(),
                        "bundle_url": text_(),
                        "content_id": text_(),
                        "bunkers": list_(
                            object_(
                                {
                                    "id": text_(),
                                    "name": text_(),
                                    "revision": text_(),
                                    "points": {"type": "integer"},
                                }
                            )
                        ),
                    }
                )
            ),
        },
        description="What a phone keeps of a site.",
    ),
    "Place": object_(
        {"device": ID, "person": WORDS, "hole": WHOLE, "bunker": NAME, "outline": NAME},
        {"number": or_null_(WHOLE)},
        description="Where a phone works now; kept in memory for seconds only.",
    ),
    "Company": object_(
        {
            "others": list_(
                object_(
                    {
                        "device": text_(),
                        "person": text_(),
                        "bunker": text_(),
                        "outline": text_(),
                        "number": or_null_({"type": "integer"}),
                        "seconds": {"type": "number"},
                    }
                )
            )
        }
    ),
    "RecordsSince": object_(
        {
            "sequence": {"type": "integer"},
            "marks": list_(ref("StandingMark")),
            "undone": list_(text_()),
            "revisions": REVISIONS,
        }
    ),
    **DRAFT_SCHEMAS,
    **IMPORT_SCHEMAS,
}
