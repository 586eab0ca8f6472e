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


def place_document(number: int = 1901, **changes: object) -> Json:
    """Return a reading at a tee plate of the small site, which the desk may take."""
    mark = mark_document()
    return {
        "id": record_id(number),
        "kind": "place",
        **{name: mark[name] for name in COMMON},
        "receiver": "phone",
        "what": "tee",
        "name": "White",
        "reading": READING,
        "note": "",
        **changes,
    }


def peg_document(number: int = 5001, **changes: object) -> Json:
    """Return a report that the small site's only peg was found."""
    mark = mark_document()
    return {
        "id": record_id(number),
        "kind": "peg",
        **{name: mark[name] for name in COMMON},
        "receiver": "phone",
        "bunker": "square",
        "peg": "c1",
        "peg_kind": "control",
        "state": "found",
        "x": None,
        "y": None,
        "within_m": None,
        "placed_by": "",
        "note": "300 mm behind the yellow broom",
        "photos": [record_id(5901)],
        "ties": [],
        "reading": None,
        **changes,
    }


def taped_document(number: int = 4001, **changes: object) -> Json:
    """Return two distances taped between pegs, too few to know."""
    mark = mark_document()
    return {
        "id": record_id(number),
        "kind": "taped",
        **{name: mark[name] for name in COMMON},
        "receiver": "phone",
        "bunker": "square",
        "pegs": [
            {"peg": "r1", "x": 1010.0, "y": 2190.0, "within_m": 0.02},
            {"peg": "r2", "x": 1030.0, "y": 2190.0, "within_m": 0.02},
            {"peg": "r3", "x": 1020.0, "y": 2215.0, "within_m": None},
        ],
        "lines": [
            {"one": "r1", "other": "r2", "distance_m": 20.004, "level_difference_m": None},
            {"one": "r1", "other": "r3", "distance_m": 26.93, "level_difference_m": 0.4},
        ],
        "tape_error_m": 0.01,
        "verdict": "cannot tell",
        "suspects": [],
        "suspect_line": None,
        "words": "Tape r2 to r3 as well.",
        **changes,
    }


def capture_document(number: int = 3001, **changes: object) -> Json:
    """Return the small site's square bunker captured by offsets from the string r1 to r2."""
    mark = mark_document()
    corners = [(1.0, -2.0), (9.0, -2.5), (9.5, -9.0), (1.5, -9.5)]
    return {
        "id": record_id(number),
        "kind": "capture",
        **{name: mark[name] for name in COMMON},
        "receiver": "phone",
        "bunker": "square",
        "outline": "sand",
        "part": "sand edge",
        "revision": "A",
        "method": "line",
        "closed": True,
        "curve": "smooth",
        "tape_error_m": 0.01,
        "pegs": [
            {"peg": "r1", "x": 1010.0, "y": 2190.0, "within_m": 0.0},
            {"peg": "r2", "x": 1030.0, "y": 2190.0, "within_m": 0.0},
        ],
        "points": [
            {
                "by": "line",
                "pegs": ["r1", "r2"],
                "distances_m": [along, offset],
                "side": "",
                "x": 1010.0 + along,
                "y": 2190.0 - offset,
                "within_m": 0.04,
            }
            for along, offset in corners
        ],
        "fixes": [],
        "parts": [],
        "spread": 1.0,
        "check_in": None,
        "shift_x_m": 0.0,
        "shift_y_m": 0.0,
        "shift_radius95_m": None,
        "note": "",
        **changes,
    }


def morning_document(number: int = 2001, **changes: object) -> Json:
    """Return a morning on which one peg was not where it was."""
    mark = mark_document()
    return {
        "id": record_id(number),
        "kind": "morning",
        **{name: mark[name] for name in COMMON},
        "receiver": "phone",
        "bunker": "square",
        "revision": "A",
        "check_in": record_id(8001),
        "taped": record_id(4001),
        "states": [["r1", "found"], ["r2", "moved"]],
        "verdict": "re-set",
        "reset": ["r2"],
        "words": "Set r2 again before anything is measured from it.",
        **changes,
    }


def batch_of(*records: object, **header: object) -> Json:
    """Return a batch, or with more in its header a file handed over."""
    return {"format": "fieldapp-records", "version": 1, **header, "records": list(records)}


def accept_records(
    store: Store, site_id: str, document: object, received_at: datetime, came_by: str = ""
) -> Receipt:
    """Store a batch of records as the server does, without one."""
    batch = read_batch(site_id, document, received_at, came_by, may_plan=True)
    return batch.receipt(take_in(store, batch.delivery))
