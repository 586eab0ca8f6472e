"""JSON Schema of what lies on a drawing board."""

from __future__ import annotations

from fieldapp.model import PART_NAMES
from fieldapp.model.keep_clear import EXTENTS, KEEP_CLEAR_KINDS
from fieldapp.server.record_schemas import Schema, list_, object_, or_null_, text_

LENGTH: Schema = {"type": "number"}
COUNT: Schema = {"type": "integer", "minimum": 0}
PLACE: Schema = {"type": "array", "items": LENGTH, "minItems": 2, "maxItems": 2}
PLACES = list_(PLACE)
FLAG: Schema = {"type": "boolean"}

BOARD = object_(
    {
        "site": object_({"id": text_(), "name": text_()}),
        "hole": object_({"number": COUNT, "name": text_(), "green": PLACE, "fairway": PLACES}),
        "version": {**COUNT, "description": "the version of the site that stands"},
        "ground_scale": {**LENGTH, "description": "ground metres per course metre"},
        "convergence_deg": LENGTH,
        "units": object_({"yardage": text_(enum=["yard", "metre"]), "ground": text_(enum=["metre", "foot"])}),
        "rules": object_({"spacing_m": LENGTH, "sagitta_m": LENGTH, "tolerance_m": LENGTH}),
        "tees": list_(object_({"id": text_(), "name": text_(), "x": LENGTH, "y": LENGTH, "line": PLACES})),
        "pegs": list_(
            object_({"id": text_(), "kind": text_(), "x": LENGTH, "y": LENGTH, "within_m": or_null_(LENGTH)})
        ),
        "bunkers": list_(
            object_(
                {
                    "id": text_(),
                    "name": text_(),
                    "revision": text_(description="empty where it never stood"),
                    "outlines": list_(
                        object_(
                            {
                                "id": text_(),
                                "part": text_(enum=list(PART_NAMES)),
                                "closed": FLAG,
                                "trace": PLACES,
                            }
                        )
                    ),
                    "draft_number": {**COUNT, "description": "0 where no draft is open"},
                }
            )
        ),
        "taken": list_(text_(description="the id of a bunker that is on another hole")),
        "keep_clear": list_(
            object_(
                {
                    "id": text_(),
                    "kind": text_(enum=list(KEEP_CLEAR_KINDS)),
                    "name": text_(),
                    "extent": text_(enum=list(EXTENTS)),
                    "points": PLACES,
                    "clearance_m": LENGTH,
                    "note": text_(),
                    "is_service": FLAG,
                }
            )
        ),
        "backdrops": list_(
            object_(
                {
                    "id": text_(),
                    "name": text_(),
                    "width": COUNT,
                    "height": COUNT,
                    "world": {"type": "array", "items": LENGTH, "minItems": 6, "maxItems": 6},
                    "url": text_(),
                    "fitted_by": text_(),
                }
            )
        ),
        "may_edit": FLAG,
    },
    description="A hole as it lies on the drawing board: places in course metres, lengths in ground metres.",
)
