"""Captures: worked out here, compared, issued once as the next revision; and no load goes back before one."""

from datetime import timedelta
from threading import Thread

import numpy as np
import pytest

from fieldapp.errors import ConflictError, InputError, NotFoundError
from fieldapp.model.site import ControlPoint, DrawnShape
from fieldapp.reading.process import DEFAULT_PROCESS
from fieldapp.workflow import capture_issue, captured_outline
from fieldapp.workflow.capture_issue import issue_capture
from fieldapp.workflow.captures import captures_of, worked_capture, worked_in
from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.site_writing import write_site
from fieldapp.workflow.sites import load_site, standing_site
from tests.field_records import (
    READING,
    accept_records,
    capture_document,
    check_in_document,
    record_id,
    trial_document,
    undo_document,
)
from tests.workflow.conftest import NOON

SITE = "small-links"
LATER = NOON + timedelta(hours=1)
ID = record_id(3001)
TOLD_AT = "2026-05-01T12:30:00.000Z"


def capture(**changes):
    return capture_document(**{"made_at": TOLD_AT} | changes)


@pytest.fixture
def send(store):
    def sent(*documents):
        return accept_records(
            store, SITE, {"format": "fieldapp-records", "version": 1, "records": list(documents)}, LATER
        )

    return sent


@pytest.fixture
def issue(store):
    return lambda capture_id=ID, person="Ada": issue_capture(store, SITE, capture_id, person, LATER)


def remarks_of(receipt):
    return " ".join(remark.detail for remark in receipt.remarks)


def egg_by_ties(standing, stretch=1.1, **changes):
    """The placed bunker, a tenth larger, tied from two pegs 20 m off."""
    laid = next(one for one in standing.bunkers if one.bunker.id == "egg")
    middle = np.array(laid.middle)
    places = middle + (laid.sand.points.xy[::3] - middle) * stretch
    pegs = {"r1": middle + np.array([-10.0, -18.0]), "r2": middle + np.array([10.0, -18.0])}
    points = [
        {
            "by": "ties",
            "pegs": ["r1", "r2"],
            "distances_m": [float(np.hypot(*(place - pegs[key]))) for key in ("r1", "r2")],
            "side": "left",
            "x": float(place[0]),
            "y": float(place[1]),
            "within_m": 0.03,
        }
        for place in places
    ]
    used = [{"peg": key, "x": float(x), "y": float(y), "within_m": 0.01} for key, (x, y) in pegs.items()]
    return places, capture(bunker="egg", method="ties", points=points, pegs=used, **changes)


def walk_document(standing, sigma_m=1.5, **changes):
    """The egg walked round once without any error, which the receiver does not know."""
    laid = next(one for one in standing.bunkers if one.bunker.id == "egg")
    curve = laid.sand.curve
    places = curve.points_at(np.linspace(0.0, curve.length_m, 45))
    fixes = [
        {"t_s": float(second), "lat_deg": float(lat), "lon_deg": float(lon), "sigma_m": sigma_m}
        for second, (lon, lat) in enumerate(standing.grid.to_gnss(places))
    ]
    parts = [list(part) for part in DEFAULT_PROCESS.parts]
    whole = {
        "bunker": "egg",
        "method": "walk",
        "points": [],
        "pegs": [],
        "fixes": fixes,
        "parts": parts,
        "spread": 3.0,
    }
    return capture(**whole | changes)


def test_an_outline_by_offsets_is_worked_out_and_compared(store, send):
    assert remarks_of(send(capture())) == ""
    worked = worked_capture(store, SITE, ID)
    assert worked.refusal == ""
    assert worked.line.measured_xy[0] == pytest.approx([1011.0, 2192.0])
    assert worked.alike.old_area_m2 == pytest.approx(16.0)
    assert worked.alike.area_more_m2 == pytest.approx(worked.line.curve.area_m2 - 16.0)
    assert 0.02 < worked.line.band95_m.max() < 0.06


def test_confirmed_it_is_the_next_revision_and_the_one_before_stays(store, send, issue):
    send(capture())
    assert issue() == "B"
    standing = standing_site(store, SITE)
    square = standing.site.bunker("square")
    assert (square.revision, square.outline("sand").shape.curve) == ("B", "smooth")
    assert square.outline("sand").shape.points[0] == ControlPoint(1011.0, 2192.0)
    assert standing.site.bunker("egg").revision == "A"
    assert worked_capture(store, SITE, ID).capture.issue.person == "Ada"
    assert worked_capture(store, SITE, ID).old.curve.area_m2 == pytest.approx(16.0)


def test_it_is_confirmed_once_only(send, issue):
    send(capture())
    issue()
    with pytest.raises(ConflictError, match="confirmed by Ada and became revision B"):
        issue(person="Kim")


def test_records_come_in_while_it_is_worked_out_and_what_they_change_counts(monkeypatch, send, issue):
    """A long walk takes a second to work out; marks are stored meanwhile, and an undo that came is heeded."""
    document = capture()
    send(document)
    came = []

    def worked_while_one_takes_it_back(*args):
        worked = worked_in(*args)
        if not came:
            came.append(Thread(target=send, args=(undo_document(document),), daemon=True))
            came[0].start()
            came[0].join(timeout=2.0)
            assert not came[0].is_alive(), "what is sent waits until the capture is worked out"
        return worked

    monkeypatch.setattr(capture_issue, "worked_in", worked_while_one_takes_it_back)
    with pytest.raises(ConflictError, match="taken back"):
        issue()


def test_a_second_capture_over_the_revision_that_was_replaced_is_refused(send, issue):
    send(capture(), capture(number=3002))
    issue()
    with pytest.raises(ConflictError, match="captured over revision A, and revision B stands now"):
        issue(record_id(3002))


def test_of_very_many_points_some_are_worked_out_anew_and_that_is_said(monkeypatch, send):
    """It is done while others wait to write; the capture's page looks at every one."""
    document = capture()
    points = [document["points"][0]] * 400
    reckoned, place = [], captured_outline.place_point
    monkeypatch.setattr(captured_outline, "place_point", lambda *args: reckoned.append(1) or place(*args))
    elsewhere = [{**point, "x": point["x"] + 0.5} for point in points]
    remarks = remarks_of(send(document | {"points": elsewhere}))
    assert len(reckoned) <= captured_outline.MOST_RECKONED < 400
    assert "Point 1: the phone put it 0.50 m" in remarks
    assert "100 of its 400 points" in remarks


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"practice": True}, "It is practice"),
        ({"receiver": "practice phone"}, "It is practice"),
        ({"bunker": "gone"}, "no bunker 'gone'"),
        ({"outline": "lip"}, "no outline 'lip'"),
        ({"closed": False}, "is closed and was captured as open"),
        ({"revision": "Z"}, "captured over revision Z"),
        ({"pegs": []}, "place of peg 'r1' is not told"),
    ],
)
def test_what_cannot_become_a_revision_is_refused_in_words_and_stays_held(store, send, issue, changes, words):
    send(capture(**changes))
    with pytest.raises(ConflictError, match=words):
        issue()
    assert len(held_records_of(store, SITE)) == 1
    assert standing_site(store, SITE).sequence == 1


def test_one_taken_back_is_refused(send, issue):
    send(capture(), undo_document(capture()))
    with pytest.raises(ConflictError, match="It was taken back"):
        issue()


def test_a_capture_of_two_points_is_refused_in_words(send):
    receipt = send(capture(points=capture()["points"][:2]))
    assert receipt.stored == []
    assert "a capture of 2 points has no shape; measure 3 at least" in receipt.refused[0].detail


def test_points_that_cross_are_refused_in_words(send, issue):
    points = capture()["points"]
    send(capture(points=[points[0], points[2], points[1], points[3]]))
    with pytest.raises(ConflictError, match="crosses or touches itself"):
        issue()


def test_one_that_is_not_held_is_not_found(store):
    with pytest.raises(NotFoundError, match="holds no capture"):
        worked_capture(store, SITE, ID)


def test_a_bunker_placed_by_play_keeps_its_own_axes(store, standing, send, issue):
    places, document = egg_by_ties(standing)
    send(document)
    assert issue() == "B"
    egg = standing_site(store, SITE).site.bunker("egg")
    assert egg.place == standing.site.bunker("egg").place
    assert isinstance(egg.outline("sand").shape, DrawnShape)
    drawn = next(one for one in standing_site(store, SITE).bunkers if one.bunker.id == "egg").sand.curve
    for place in places:
        assert drawn.points_at(drawn.nearest_m(place)) == pytest.approx(place, abs=0.001)


def test_a_point_the_phone_put_elsewhere_is_told_and_its_distances_count(store, send):
    points = capture()["points"]
    points[1]["x"] += 0.40
    receipt = send(capture(points=points))
    assert "Point 2: the phone put it 0.40 m from where its distances lead." in remarks_of(receipt)
    assert worked_capture(store, SITE, ID).line.measured_xy[1] == pytest.approx([1019.0, 2192.5])


def test_a_peg_of_the_site_that_the_phone_had_elsewhere_is_told(send):
    pegs = [*capture()["pegs"], {"peg": "c1", "x": 990.3, "y": 2010.0, "within_m": 0.0}]
    assert "The phone's peg 'c1' lies 0.30 m" in remarks_of(send(capture(pegs=pegs)))


def test_a_walk_tells_its_shape_from_its_place(store, standing, send):
    send(walk_document(standing))
    line = worked_capture(store, SITE, ID).line
    assert 0.5 < line.shape95_m < line.position95_m < 4.0
    assert worked_capture(store, SITE, ID).alike.hausdorff_m < 0.3


ON_PEG = {
    "a check-in": lambda when, shift: check_in_document(
        made_at=when, **shift("shift"), reading=READING | {"seconds": 60.0, "fixes": 60, "radius95_m": 3.2}
    ),
    "a trial, which counts as one": lambda when, shift: trial_document(
        8001, made_at=when, **shift("offset"), seconds=60.0, fixes=60, offset_radius95_m=3.2
    ),
}


@pytest.mark.parametrize("stood", ON_PEG.values(), ids=ON_PEG)
def test_a_check_in_is_taken_off_a_walk_and_says_where_the_whole_lies(store, standing, send, stood):
    """The receiver is 2 m off to the east, and a fresh check-in on a peg with the same error takes most of it off."""
    document = walk_document(standing, check_in=record_id(8001), shift_x_m=2.0)
    lonlat = [(fix["lon_deg"], fix["lat_deg"]) for fix in document["fixes"]]
    for fix, (lon, lat) in zip(
        document["fixes"],
        standing.grid.to_gnss(standing.grid.to_course(np.array(lonlat)) + np.array([2.0, 0.0])),
        strict=True,
    ):
        fix["lon_deg"], fix["lat_deg"] = float(lon), float(lat)
    send(
        stood("2026-05-01T12:28:00.000Z", lambda name: {f"{name}_x_m": 2.0, f"{name}_y_m": 0.0}),
        document,
        walk_document(standing, number=3002),
    )
    with_peg, without = (worked_capture(store, SITE, record_id(number)) for number in (3001, 3002))
    assert with_peg.line.position95_m < 0.9 * without.line.position95_m
    assert with_peg.alike.hausdorff_m < 1.2
    assert "check-in on peg c1 showed was taken off" in with_peg.line.words[0]
    assert "No check-in" in without.line.words[0]


def test_an_older_folder_is_not_loaded_over_what_was_issued_here(store, folder, send, issue):
    send(capture())
    issue()
    with pytest.raises(ConflictError) as refused:
        load_site(store, folder, LATER)
    assert "revision 'A', older than 'B', which Ada issued here" in str(refused.value)
    assert "fieldapp site write small-links" in str(refused.value)
    assert standing_site(store, SITE).site.bunker("square").revision == "B"


def test_another_outline_of_the_same_letter_is_not_loaded(store, folder, send, issue, change):
    send(capture())
    issue()
    change('name = "Square"\nrevision = "A"', 'name = "Square"\nrevision = "B"')
    with pytest.raises(ConflictError, match="another outline of bunker 'square'"):
        load_site(store, folder, LATER)


def test_the_next_letter_in_the_folder_is_loaded(store, folder, send, issue, change):
    send(capture())
    issue()
    change('name = "Square"\nrevision = "A"', 'name = "Square"\nrevision = "C"')
    assert load_site(store, folder, LATER).new
    change('revision = "C"', 'revision = "A"')
    with pytest.raises(ConflictError, match="older than 'B'"):
        load_site(store, folder, LATER)


def test_the_standing_site_is_written_out_and_loaded_again_as_it_is(store, tmp_path, send, issue):
    send(capture())
    issue()
    out = tmp_path / "out"
    assert write_site(store, SITE, out) == standing_site(store, SITE).site
    assert not load_site(store, out, LATER).new
    with pytest.raises(InputError, match="nothing is overwritten"):
        write_site(store, SITE, out)


def test_captures_of_a_site_are_listed_with_their_state(store, standing, send, issue):
    send(capture(), capture(number=3002), capture(number=3003, practice=True))
    assert [one.state for one in captures_of(store, standing, held_records_of(store, SITE))] == [
        "waits",
        "waits",
        "practice",
    ]
    issue()
    now = standing_site(store, SITE)
    listed = captures_of(store, now, held_records_of(store, SITE))
    assert [one.state for one in listed] == ["confirmed", "superseded", "practice"]
