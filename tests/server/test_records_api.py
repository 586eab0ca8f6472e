"""Field records over HTTP: none is lost, none is held twice."""

import csv
import io
import threading
from datetime import UTC, datetime

RECORDS = "/api/sites/small-links/records"
UNDO_ID = "11111111-0000-4000-8000-000000000001"


def undo_of(mark, **changes):
    kept = {name: mark[name] for name in ("site", "hole", "made_at", "person", "device", "practice")}
    return kept | {"id": UNDO_ID, "kind": "undo", "undoes": mark["id"]} | changes


def rows(manager):
    return list(csv.DictReader(io.StringIO(manager.get("/sites/small-links/records.csv").text)))


def test_what_is_stored_is_named(send, mark):
    assert send(mark(1), mark(2)).json() == {
        "stored": [mark(1)["id"], mark(2)["id"]],
        "refused": [],
        "remarks": [],
        "revisions": {"square": "A", "egg": "A"},
    }


def test_sending_a_batch_again_is_harmless(manager, send, mark):
    first = send(mark(1), mark(2)).json()
    assert send(mark(1), mark(2)).json() == first
    assert send(mark(1), mark(1)).json()["stored"] == [mark(1)["id"]]
    assert len(rows(manager)) == 2


def test_another_record_under_a_held_id_is_refused_and_the_first_stays(manager, send, mark):
    send(mark(1))
    answer = send(mark(1, person="Bob"), mark(2)).json()
    assert answer["stored"] == [mark(2)["id"]]
    assert [refusal["id"] for refusal in answer["refused"]] == [mark(1)["id"]]
    assert "never overwritten" in answer["refused"][0]["detail"]
    assert [row["person"] for row in rows(manager)] == ["Ada", "Ada"]


def test_a_bad_record_does_not_hold_up_the_others(send, mark):
    answer = send(mark(1), mark(2, hole="one"), {"id": 7}, mark(3)).json()
    assert answer["stored"] == [mark(1)["id"], mark(3)["id"]]
    assert [refusal["id"] for refusal in answer["refused"]] == [mark(2)["id"], None]


def test_a_number_that_is_none_spoils_only_its_own_record(manager, mark):
    good, bad = mark(1), mark(2)
    import json

    text = json.dumps(
        {"format": "fieldapp-records", "version": 1, "records": [good, bad | {"off_m": float("nan")}]}
    )
    answer = manager.post(RECORDS, content=text, headers={"content-type": "application/json"}).json()
    assert answer["stored"] == [good["id"]]
    assert [refusal["id"] for refusal in answer["refused"]] == [bad["id"]]


def test_a_batch_of_too_many_records_is_one_clear_refusal(send):
    answer = send(*[0] * 5001)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/format-error")
    assert "5,000" in answer.json()["detail"]
    assert len(answer.content) < 1000


def test_a_record_of_another_site_is_refused(send, mark):
    answer = send(mark(1, site="heath")).json()
    assert answer["stored"] == []
    assert "heath" in answer["refused"][0]["detail"]


def test_a_mark_that_does_not_fit_is_stored_with_a_remark(manager, send, mark):
    odd = mark(1, target=mark()["target"] | {"bunker": "gone"})
    answer = send(odd).json()
    assert answer["stored"] == [odd["id"]]
    assert "no bunker 'gone'" in answer["remarks"][0]["detail"]
    assert "no bunker 'gone'" in rows(manager)[0]["remarks"]


def test_phones_are_given_what_stands(manager, send, mark):
    send(mark(1), mark(2), mark(3, practice=True), undo_of(mark(2)))
    answer = manager.get(f"{RECORDS}?hole=1").json()
    assert [item["id"] for item in answer["marks"]] == [mark(1)["id"]]
    assert answer["sequence"] == 4


def test_phones_are_given_only_what_is_new_since_they_asked(manager, send, mark):
    send(mark(1), mark(2))
    since = manager.get(f"{RECORDS}?hole=1").json()["sequence"]
    send(mark(3), undo_of(mark(1)))
    answer = manager.get(f"{RECORDS}?hole=1&since={since}").json()
    assert [item["id"] for item in answer["marks"]] == [mark(3)["id"]]
    assert answer["undone"] == [mark(1)["id"]]


def test_the_downloads_hold_every_record(manager, send, mark):
    fix = {
        "lat_deg": 57.2018,
        "lon_deg": -9.3989,
        "accuracy_m": 0.02,
        "radius95_m": 0.03,
        "radius95_basis": "rtk",
        "age_s": 0.2,
        "height_m": None,
    }
    send(mark(1, fix=fix), mark(2, practice=True), undo_of(mark(1)))
    assert [row["undone_by"] for row in rows(manager)] == [UNDO_ID, "", ""]
    answer = manager.get("/sites/small-links/records.geojson")
    assert answer.headers["content-type"] == "application/geo+json"
    assert len(answer.json()["features"]) == 1


def test_twenty_phones_with_overlapping_batches_store_every_mark_once(app, manager, visitor_to, send, mark):
    answers = []

    def phone(first):
        batch = [mark(number) for number in range(first, first + 20)]
        answers.append(send(*batch, visitor=visitor_to(app)))

    threads = [threading.Thread(target=phone, args=(5 * turn,)) for turn in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [answer.status_code for answer in answers] == [200] * 20
    assert all(len(answer.json()["stored"]) == 20 for answer in answers)
    held = [row["id"] for row in rows(manager)]
    assert sorted(held) == sorted(mark(number)["id"] for number in range(115))


def test_the_server_dates_a_record_itself(manager, send, mark):
    send(mark(1))
    received = datetime.fromisoformat(rows(manager)[0]["received_at"])
    assert abs((datetime.now(UTC) - received).total_seconds()) < 60
