"""A draft becomes a revision: who, why, what it comes too near to, and what is refused."""

import threading
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from fieldapp.errors import ConflictError, InputError, NotFoundError
from fieldapp.model.keep_clear import KeepClear
from fieldapp.store.drafts import drafts_of, newest_draft
from fieldapp.store.issues import issues_of
from fieldapp.workflow import draft_issue
from fieldapp.workflow.draft_issue import Signing, draft_to_issue, issue_draft, near_words
from fieldapp.workflow.drafting import standing_draft
from fieldapp.workflow.issuing import checked_text
from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.revisions import old_marks, revisions_of
from fieldapp.workflow.sites import every_version, load_site, standing_site
from tests.bunker_drafts import SQUARE, draft_of, moved, save
from tests.field_records import accept_records

SITE = "small-links"
AT = datetime(2026, 6, 2, 9, 0, tzinfo=UTC)
DRAIN = KeepClear("drain-1", "drain", "Clay drain", "line", ((1026.0, 2190.0), (1026.0, 2210.0)), 1.5)
PINE = KeepClear("pine-1", "tree", "", "point", ((1022.0, 2205.0),), 2.0)


def signing(number=1, revision="B", **changes):
    said = {"person": "Kim", "why": "a drain was found", "acknowledged": frozenset()}
    return Signing(**({"number": number, "revision": revision} | said | changes))


@pytest.fixture
def issue(store):
    return lambda said=None, bunker="square", at=AT: issue_draft(store, SITE, bunker, said or signing(), at)


@pytest.fixture
def keep_clear(store, folder, change):
    """Loads the site with a drain and a tree beside the square bunker."""

    def table(thing):
        points = [list(place) for place in thing.points]
        return (
            f'\n[[keep_clear]]\nid = "{thing.id}"\nkind = "{thing.kind}"\nname = "{thing.name}"\n'
            f'extent = "{thing.extent}"\npoints = {points}\nclearance_m = {thing.clearance_m}\n'
        )

    file = folder / "site.toml"
    file.write_text(file.read_text() + table(DRAIN) + table(PINE))
    load_site(store, folder, AT)


def square_of(store):
    return standing_site(store, SITE).site.bunker("square")


def test_a_draft_becomes_the_next_revision_with_who_why_and_where_from(store, issue):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    before = standing_site(store, SITE)
    assert issue() == "B"
    after = standing_site(store, SITE)
    assert after.site.bunker("square").revision == "B"
    assert after.outline_points("square", "B")["sand"][:, 0].min() == pytest.approx(1021.0)
    assert after.site.bunker("egg") == before.site.bunker("egg")
    with store.reading() as transaction:
        (kept,) = issues_of(transaction, SITE)
        newest = newest_draft(transaction, SITE, "square")
    assert (kept.revision, kept.person, kept.why, kept.came_from) == (
        "B",
        "Kim",
        "a drain was found",
        "draft 1",
    )
    assert (kept.site_version, kept.issued_at, kept.acknowledged) == (after.sequence, AT, ())
    assert (newest.number, newest.state, newest.person) == (2, "issued", "Kim")


def test_a_bunker_that_never_stood_begins_at_a(store, issue, folder):
    places = [(1050.0, 2100.0), (1056.0, 2100.0), (1053.0, 2106.0)]
    save(store, SITE, draft_of(places, "new", name="New one", grew_from=None))
    asked = draft_to_issue(store, SITE, "new")
    assert (asked.old, asked.next, asked.standing) == (None, "A", "")
    assert issue(signing(revision="A"), "new") == "A"
    with pytest.raises(ConflictError, match=r"drawn here and issued by Kim as revision"):
        load_site(store, folder, AT)
    assert [bunker.id for bunker in standing_site(store, SITE).site.bunkers] == ["square", "egg", "new"]


def test_what_it_comes_too_near_to_is_acknowledged_one_by_one_and_kept(store, issue, keep_clear):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    asked = draft_to_issue(store, SITE, "square")
    told = [near_words(one, "metre") for one in asked.near]
    assert told == [
        "Clay drain (drain drain-1): 1.00 m away, 1.50 m to be kept clear",
        "pine-1 (tree pine-1): 1.00 m away, 2.00 m to be kept clear",
    ]
    with pytest.raises(ConflictError, match=r"Not every nearness.*pine-1"):
        issue(signing(acknowledged=frozenset(told[:1])))
    assert square_of(store).revision == "A"
    issue(signing(acknowledged=frozenset(told)))
    with store.reading() as transaction:
        assert issues_of(transaction, SITE)[0].acknowledged == tuple(told)


@pytest.mark.parametrize(
    ("said", "error", "words"),
    [
        (signing(revision=" a "), ConflictError, "had a revision A already; the next one free is B"),
        (signing(revision=""), InputError, "Type the revision"),
        (signing(revision="B2"), InputError, "one to three letters or a whole number"),
        (signing(revision="0"), InputError, "is no revision"),
        (signing(why=""), InputError, "Say why"),
        (signing(number=7), ConflictError, "it is number 1 now, you looked at 7"),
    ],
)
def test_what_cannot_be_issued_is_refused_in_words_and_changes_nothing(store, issue, said, error, words):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    with pytest.raises(error, match=words):
        issue(said)
    with store.reading() as transaction:
        assert issues_of(transaction, SITE) == ()
        assert [kept.state for kept in drafts_of(transaction, SITE, "square")] == ["open"]
    assert square_of(store).revision == "A"


@pytest.mark.parametrize(("typed", "name"), [("17", "17"), ("q", "Q"), (" b ", "B")])
def test_letters_and_numbers_may_be_typed(store, issue, typed, name):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    assert issue(signing(revision=typed)) == name
    save(store, SITE, draft_of(moved(SQUARE, 2.0), grew_from=name))
    assert draft_to_issue(store, SITE, "square").next == {"17": "18", "Q": "R", "B": "C"}[name]


def test_a_revision_that_marks_bear_is_never_given_again(store, issue, mark, batch):
    accept_records(store, SITE, batch(mark(1, revision="B")), AT)
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    assert draft_to_issue(store, SITE, "square").next == "C"
    with pytest.raises(ConflictError, match="had a revision B already"):
        issue()


def test_without_an_open_draft_there_is_nothing_to_issue(store, issue):
    with pytest.raises(NotFoundError, match="has no draft"):
        draft_to_issue(store, SITE, "square")
    save(store, SITE, draft_of(SQUARE), state="given up")
    with pytest.raises(NotFoundError, match="was given up by Ada"):
        draft_to_issue(store, SITE, "square")
    with pytest.raises(ConflictError, match="Nothing was issued"):
        issue()


def test_a_draft_that_makes_no_bunker_is_told_and_refused(store, issue):
    crossing = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]]
    save(store, SITE, draft_of(crossing))
    asked = draft_to_issue(store, SITE, "square")
    assert asked.new is None
    assert "crosses or touches itself" in asked.fault
    with pytest.raises(ConflictError, match="cannot be issued"):
        issue()
    empty = draft_of(SQUARE)
    save(store, SITE, replace(empty, bunker=replace(empty.bunker, outlines=())))
    assert "no outline yet" in draft_to_issue(store, SITE, "square").fault


def test_a_site_that_cannot_have_it_refuses_it_with_a_way_on(store, issue):
    draft = draft_of(moved(SQUARE, 1.0))
    save(store, SITE, replace(draft, bunker=replace(draft.bunker, id="Not An Id")))
    with pytest.raises(ConflictError, match=r"cannot become revision A.*change the draft"):
        issue(signing(revision="A", over=""), "Not An Id")


def test_a_draft_that_grew_from_another_revision_is_issued_only_where_that_is_said(store, issue):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    issue()
    save(store, SITE, draft_of(moved(SQUARE, 2.0), grew_from="A"))
    said, stands = signing(number=3, revision="C"), draft_to_issue(store, SITE, "square").stands
    with pytest.raises(ConflictError, match="grew from revision A, and revision B stands now"):
        issue(said)
    with pytest.raises(ConflictError, match="grew from revision A"):
        issue(replace(said, over="A"))
    assert issue(replace(said, over=stands)) == "C"


def test_of_two_who_issue_at_once_one_wins_and_the_other_is_told(store):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    outcomes, together = [], threading.Barrier(2)

    def go(person):
        together.wait()
        try:
            outcomes.append(issue_draft(store, SITE, "square", signing(person=person), AT))
        except ConflictError as fault:
            outcomes.append(str(fault))

    both = [threading.Thread(target=go, args=(name,)) for name in ("Kim", "Lee")]
    [one.start() for one in both]
    [one.join() for one in both]
    with store.reading() as transaction:
        (kept,) = issues_of(transaction, SITE)
    assert sorted(outcomes)[0] == "B"
    assert f"was issued by {kept.person}" in sorted(outcomes)[1]


def test_a_site_that_changes_while_it_is_worked_out_is_looked_at_again(
    store, issue, folder, change, monkeypatch
):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    told = []

    def meanwhile(*args):
        if not told:
            change('name = "Small Links (invented)"', 'name = "Smaller Links (invented)"')
            load_site(store, folder, AT)
        told.append(args)
        return checked_text(*args)

    monkeypatch.setattr(draft_issue, "checked_text", meanwhile)
    assert issue() == "B"
    assert len(told) == 2
    assert standing_site(store, SITE).site.name == "Smaller Links (invented)"


def test_an_issued_draft_is_never_changed_by_a_folder(store, issue, folder, change):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    issue()
    with pytest.raises(ConflictError, match=r"older than 'B', which Kim issued here from draft 1"):
        load_site(store, folder, AT)
    change('name = "Square"\nrevision = "A"', 'name = "Square"\nrevision = "B"')
    with pytest.raises(ConflictError, match=r"another outline of bunker 'square'.*issued here from draft 1"):
        load_site(store, folder, AT)
    assert square_of(store).revision == "B"


def test_marks_stay_with_their_revision_and_are_still_good_within_the_tolerance_of_the_new_line(
    store, issue, mark, batch
):
    """The square is moved along its north and south sides: marks on those lie on the new line too, but at its west
    end, which the new line leaves 0.05 m behind; those of the west side lie 0.05 m off it all along.
    """
    documents = [mark(number) for number in range(1, 17)]
    accept_records(store, SITE, batch(*documents), AT)
    for east_m, expected in ((0.05, {"still good"}), (0.5, {"still good", "re-mark"})):
        number = save(store, SITE, draft_of(moved(SQUARE, east_m), grew_from=square_of(store).revision))
        standing = standing_site(store, SITE)
        assert {one.mark.target.revision for one in old_marks_now(store)} <= {"A"}
        issue(signing(number=number, revision=draft_to_issue(store, SITE, "square").next))
        assert standing_site(store, SITE).sequence > standing.sequence
        found = old_marks_now(store)
        assert len(found) == 16
        assert {one.state for one in found} == expected
    for one in found:
        x, y = one.mark.target.x - 1020.5, one.mark.target.y - 2200.0
        inside = 0 <= x <= 4 and 0 <= y <= 4
        off = min(x, 4 - x, y, 4 - y) if inside else 0.5
        assert one.off_m == pytest.approx(off, abs=0.001)
        assert one.state == ("still good" if off <= 0.1 else "re-mark")


def old_marks_now(store):
    standing = standing_site(store, SITE)
    square = next(one for one in standing.bunkers if one.bunker.id == "square")
    return old_marks(held_records_of(store, SITE), standing, square, lambda: every_version(store, SITE))


def test_where_the_course_grid_moved_an_old_mark_is_measured_on_the_earth(store, folder, change, mark, batch):
    """The grid's origin is set 0.3 m further west on the same ground, so paint lies 0.3 m further east on it."""
    accept_records(store, SITE, batch(mark(3)), AT)
    assert standing_site(store, SITE).outline_points("square", "A")["sand"][2].tolist() == [1020.0, 2202.0]
    change("origin_x = 1000.0", "origin_x = 1000.3")
    change('name = "Square"\nrevision = "A"', 'name = "Square"\nrevision = "B"')
    change('name = "Egg"\nrevision = "A"', 'name = "Egg"\nrevision = "B"')
    load_site(store, folder, AT)
    (found,) = old_marks_now(store)
    assert (found.state, found.off_m) == ("re-mark", pytest.approx(0.3, abs=0.001))


def test_every_revision_is_listed_with_how_it_came_about(store, issue):
    for number, east_m, name in ((1, 1.0, "B"), (3, 2.0, "C")):
        save(store, SITE, draft_of(moved(SQUARE, east_m), grew_from=square_of(store).revision))
        issue(signing(number=number, revision=name))
    found = revisions_of(store, SITE, "square")
    assert [(one.name, one.issue and one.issue.came_from) for one in found] == [
        ("C", "draft 3"),
        ("B", "draft 1"),
        ("A", None),
    ]
    assert found[2].bunker.sand.points.xy[:, 0].min() == pytest.approx(1020.0)
    with pytest.raises(NotFoundError, match="no bunker called 'nowhere'"):
        revisions_of(store, SITE, "nowhere")


@pytest.mark.parametrize(
    ("east_m", "unit", "words"),
    [
        (
            4.0,
            "metre",
            "Clay drain (drain drain-1): 0.00 m away, the bunker lies over it, 1.50 m to be kept clear",
        ),
        (1.0, "foot", "Clay drain (drain drain-1): 3.28 ft away, 4.92 ft to be kept clear"),
    ],
)
def test_a_nearness_is_told_in_the_units_of_the_site(store, keep_clear, east_m, unit, words):
    save(store, SITE, draft_of(moved(SQUARE, east_m)))
    assert words in [near_words(one, unit) for one in draft_to_issue(store, SITE, "square").near]


def test_a_folder_that_knows_nothing_of_a_bunker_issued_here_does_not_take_it_out(
    store, issue, folder, change
):
    save(store, SITE, draft_of(moved(SQUARE, 60.0), "new", name="New", grew_from=None))
    issue(signing(revision="A"), "new")
    before = standing_site(store, SITE)
    change("Two bunkers", "Both bunkers")
    with pytest.raises(ConflictError, match="no bunker 'new', which was drawn here and issued by Kim"):
        load_site(store, folder, AT)
    assert standing_site(store, SITE) == before
    load_site(store, folder, AT, ["new"])
    assert [bunker.id for bunker in standing_site(store, SITE).site.bunkers] == ["square", "egg"]
    assert [one.name for one in revisions_of(store, SITE, "new")] == ["A"]


def test_a_draft_tells_where_its_revision_was_loaded_anew_under_the_same_letter(store, issue, folder, change):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    change("[1024.0, 2204.0]", "[1024.0, 2204.5]")
    load_site(store, folder, AT)
    moved_words = "whoever loaded the site since moved 1 point of the sand edge (0.50 m)"
    (remark,) = standing_draft(store, SITE, "square").remarks
    assert remark == f"Revision A, which this draft was begun from, is another now: {moved_words}."
    with pytest.raises(ConflictError, match="issued all the same") as refused:
        issue()
    assert moved_words in str(refused.value)
    assert issue(signing(over=draft_to_issue(store, SITE, "square").stands)) == "B"


def test_what_was_loaded_after_somebody_looked_is_asked_again(store, issue, folder, change):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    change("[1024.0, 2204.0]", "[1024.0, 2204.5]")
    load_site(store, folder, AT)
    seen = signing(over=draft_to_issue(store, SITE, "square").stands)
    change("[1024.0, 2204.5]", "[1024.0, 2207.0]")
    load_site(store, folder, AT)
    with pytest.raises(ConflictError, match=r"changed again since you looked .*\(3\.00 m\)"):
        issue(seen)
    with pytest.raises(ConflictError, match="changed again"):
        issue(signing(over="A"))
    looked = signing(over=draft_to_issue(store, SITE, "square").stands)
    change('name = "Egg', 'name = "Round egg')
    load_site(store, folder, AT)
    assert issue(looked) == "B", "what is other in the rest of the site is not asked again"


def test_a_site_loaded_anew_for_another_reason_leaves_a_draft_as_it_was_begun(store, issue, folder, change):
    save(store, SITE, draft_of(moved(SQUARE, 1.0)))
    change('name = "Egg', 'name = "Round egg')
    load_site(store, folder, AT)
    assert standing_draft(store, SITE, "square").remarks == ()
    assert issue() == "B"
