"""Records of pegs and tapes as JSON and CSV: read, written back, refused in words."""

import csv
import io
import json
from datetime import UTC, datetime

import pytest

from fieldapp.errors import RecordError
from fieldapp.formats.record_export import records_csv, records_geojson
from fieldapp.formats.records import read_record, record_to_dict
from fieldapp.model import HeldRecord
from tests.field_records import (
    READING,
    capture_document,
    morning_document,
    peg_document,
    taped_document,
)

NOW = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)
PLANNED = {"state": "planned", "peg": "p1", "peg_kind": "reference", "x": 1010.0, "y": 2190.0}
TIED = {"state": "new", "x": 1010.0, "y": 2190.0, "within_m": 0.02, "placed_by": "ties"}
WALK = {
    "method": "walk",
    "points": [],
    "pegs": [],
    "fixes": [
        {"t_s": float(t), "lat_deg": 57.2, "lon_deg": -9.4 + t * 1e-6, "sigma_m": None if t == 2 else 2.5}
        for t in range(4)
    ],
    "parts": [[0.4, 0], [0.6, 60.0]],
    "spread": 3.0,
}
BY_TIES = {
    "by": "ties",
    "pegs": ["r1", "r2", "r3"],
    "distances_m": [7.42, 11.08, 9.5],
    "side": "left",
    "x": 1012.0,
    "y": 2197.0,
    "within_m": 0.03,
}


def held(document):
    return [HeldRecord(read_record(document), 1, NOW, None, None)]


@pytest.mark.parametrize(
    "document",
    [
        peg_document(),
        peg_document(**PLANNED),
        peg_document(**TIED, ties=[{"peg": "r1", "distance_m": 7.42}], reading=READING),
        taped_document(),
        taped_document(verdict="misfit", suspects=["r2"], suspect_line=["r1", "r3"]),
        capture_document(),
        capture_document(method="ties", points=[BY_TIES] * 3),
        capture_document(**WALK),
        morning_document(),
    ],
    ids=lambda document: f"{document['kind']} {document.get('method') or document.get('state') or ''}",
)
def test_a_record_comes_back_as_it_was_sent(document):
    written = json.loads(json.dumps(record_to_dict(read_record(document))))
    assert written == document


@pytest.mark.parametrize(
    ("document", "words"),
    [
        (peg_document(state="new"), "a peg that is 'new' needs both 'x' and 'y'"),
        (peg_document(state="found", x=1.0), "needs both 'x' and 'y'"),
        (peg_document(state="lost"), "'state' is 'lost'"),
        (peg_document(photos=["a picture"]), "'photo' must be an id"),
        (taped_document(lines=[]), "tape one distance at least"),
        (taped_document(suspect_line=["r1"]), "must name two pegs"),
        (capture_document(points=capture_document()["points"][:2]), "a capture of 2 points has no shape"),
        (capture_document(**WALK | {"fixes": []}), "a capture of 0 points has no shape"),
        (capture_document(points=[BY_TIES | {"pegs": ["r1"]}] * 3), "a point by ties has 1 pegs"),
        (morning_document(states=[["r1"]]), "a pair of a peg"),
        (morning_document(states=[["r1", "gone"]]), "'state of states' is 'gone'"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(document, words):
    with pytest.raises(RecordError, match=words):
        read_record(document)


@pytest.mark.parametrize(
    ("document", "cells"),
    [
        (peg_document(), {"peg": "c1", "peg_state": "found", "note": "300 mm behind the yellow broom"}),
        (taped_document(), {"taped": "r1-r2:20.004 r1-r3:26.930", "verdict": "cannot tell"}),
        (capture_document(), {"capture_method": "line", "capture_points": "4", "outline": "sand"}),
        (morning_document(), {"morning_states": "r1:found r2:moved", "reset": "r2", "verdict": "re-set"}),
    ],
    ids=lambda given: given.get("kind", ""),
)
def test_csv_tells_of_it(document, cells):
    (row,) = csv.DictReader(io.StringIO("".join(records_csv(held(document)))))
    assert {name: row[name] for name in cells} == cells


def test_geojson_has_a_point_where_a_peg_was_found_by_position():
    (feature,) = json.loads("".join(records_geojson(held(peg_document(reading=READING)))))["features"]
    assert feature["geometry"]["coordinates"] == [READING["lon_deg"], READING["lat_deg"]]
