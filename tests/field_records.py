"""Field records as phones send them, for every test that needs some: JSON-ready documents."""

from __future__ import annotations

import math
from datetime import datetime
from typing import Any

from fieldapp.play.yardage import straight_range95_m
from fieldapp.store.engine import Store
from fieldapp.workflow.records import Receipt, read_batch
from fieldapp.workflow.taking_in import take_in

Json = dict[str, Any]

COMMON = ("site", "hole", "made_at", "person", "device", "practice")
FIX: Json = {
    "lat_deg": 57.2018,
    "lon_deg": -9.3989,
    "accuracy_m": 0.02,
    "radius95_m": 0.0324,
    "radius95_basis": "68 % figure of the receiver",
    "age_s": 0.4,
    "height_m": None,
}
READING: Json = {
    "lat_deg": 57.2018,
    "lon_deg": -9.3989,
    "radius95_m": 0.8,
    "radius95_basis": "default error process",
    "seconds": 30.5,
    "fixes": 30,
    "left_out": 1,
    "check_in": None,
    "check_in_age_s": None,
}


def record_id(number: int) -> str:
    """Return an id that a phone might have made."""
    return f"00000000-0000-4000-8000-{number:012d}"


def mark_document(number: int = 1, **changes: object) -> Json:
    """Return a mark of paint point 1 of the small site's square bunker, without a position; `number` is its id's."""
    target = {
        "bunker": "square",
        "outline": "sand",
        "part": "sand edge",
        "number": 1,
        "revision": "A",
        "x": 1020.0,
        "y": 2200.0,
    }
    return {
        "id": record_id(number),
        "kind": "mark",
        "site": "small-links",
        "hole": 1,
        "made_at": "2026-05-01T09:30:15.250Z",
        "person": "Ada",
        "device": "phone 2",
        "practice": False,
        "receiver": "phone",
        "target": target,
        "fix": None,
        "off_m": None,
        "verdict": "cannot tell",
        **changes,
    }


def undo_document(of: Json, number: int = 9001, **changes: object) -> Json:
    """Return the record that takes another one back."""
    return {
        "id": record_id(number),
        "kind": "undo",
        **{name: of[name] for name in COMMON},
        "undoes": of["id"],
        **changes,
    }


def check_in_document(number: int = 8001, **changes: object) -> Json:
    """Return a check-in over the small site's only peg."""
    mark = mark_document()
    return {
        "id": record_id(number),
        "kind": "check_in",
        **{name: mark[name] for name in COMMON},
        "receiver": "phone",
        "peg": "c1",
        "peg_x": 990.0,
        "peg_y": 2010.0,
        "reading": READING,
        "shift_x_m": 1.5,
        "shift_y_m": -2.0,
        **changes,
    }


def trial_document(number: int = 7001, **changes: object) -> Json:
    """Return a trial over the small site's only peg."""
    check_in = check_in_document()
    kept = ("receiver", "peg", "peg_x", "peg_y", *COMMON)
    return {
        "id": record_id(number),
        "kind": "trial",
        **{name: check_in[name] for name in kept},
        "seconds": 300.0,
        "fixes": 290,
        "accuracy_m": 3.0,
        "scatter_m": 1.25,
        "parts": [[0.25, 0], [0.75, 90.5]],
        "spread": 1.5,
        "offset_x_m": 0.6,
        "offset_y_m": 0.8,
        "offset_radius95_m": 1.9,
        **changes,
    }


def yardage_document(number: int = 6001, **changes: object) -> Json:
    """Return a check of the small site's square bunker's front edge, which says of itself what it is."""
    mark = mark_document()
    return {
        "id": record_id(number),
        "kind": "yardage",
        **{name: mark[name] for name in COMMON},
        "receiver": "phone",
        "target": {
            "bunker": "square",
            "revision": "A",
            "tee": "white",
            "tee_x": 1000.0,
            "tee_y": 2000.0,
            "figure": "reach",
            "basis": "planned",
        },
        "reading": READING,
        "measured_m": 201.5,
        "range95_m": straight_range95_m(0.8 * math.hypot(1, 0.25), 0.3),
        "planned_m": 201.4,
        "tolerance_m": 0.9144,
        "verdict": "agrees",
        "settle": "",
        "reading95_m": 0.8,
        "tee95_m": 0.3,
        "grid95_m": 0.0,
        "off_line_m": -0.4,
        "own_line_m": 201.6,
        "line_effect_m": 0.05,
        "edge_slope": 0.25,
        **changes,
    }


def batch_of(*records: object, **header: object) -> Json:
    """Return a batch, or with more in its header a file handed over."""
    return {"format": "fieldapp-records", "version": 1, **header, "records": list(records)}


def accept_records(
    store: Store, site_id: str, document: object, received_at: datetime, came_by: str = ""
) -> Receipt:
    """Store a batch of records as the server does, without one."""
    batch = read_batch(site_id, document, received_at, came_by)
    return batch.receipt(take_in(store, batch.delivery))
