"""Loading sites: every version stays, marks are never moved under a revision."""

from datetime import UTC, datetime

import numpy as np
import pytest

from fieldapp.errors import ConflictError, InputError, NotFoundError, SiteFolderError
from fieldapp.workflow.sites import load_site, standing_site, standing_sites, versions_in
from tests.field_records import accept_records

LATER = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)
MOVED = ("[1020.0, 2200.0]", "[1020.0, 2200.1]")


def versions_of(store):
    with store.reading() as transaction:
        return versions_in(transaction, "small-links")


def test_a_loaded_site_stands_with_its_grid(standing):
    assert standing.site.name == "Small Links (invented)"
    assert standing.sequence == 1
    lon, lat = standing.grid.to_gnss(np.array([1000.0, 2000.0]))
    assert (lat, lon) == pytest.approx((57.2, -9.4), abs=1e-9)


@pytest.mark.parametrize("taken", ["new", "from-zip"])
def test_an_id_that_is_the_address_of_another_page_is_refused(store, folder, change, taken):
    change('id = "small-links"', f'id = "{taken}"')
    with pytest.raises(
        InputError, match=rf"A site cannot have the id '{taken}', .*give it another id"
    ) as told:
        load_site(store, folder, LATER)
    assert "\n" not in str(told.value)
    assert [standing.site.id for standing in standing_sites(store)] == ["small-links"]


def test_the_same_content_again_makes_no_new_version(store, folder):
    assert load_site(store, folder, LATER).new is False
    assert len(versions_of(store)) == 1


def test_a_comment_in_the_file_is_no_new_content(store, folder, change):
    change("[units]", "# yards, as always\n[units]")
    assert load_site(store, folder, LATER).new is False


def test_a_changed_site_stands_and_the_version_before_it_stays(store, folder, change):
    change('name = "Egg"', 'name = "Big Egg"')
    assert load_site(store, folder, LATER).new is True
    assert standing_site(store, "small-links").site.bunker("egg").name == "Big Egg"
    assert [version.site.bunker("egg").name for version in versions_of(store)] == [
        "Big Egg",
        "Egg",
    ]


def test_going_back_to_an_earlier_content_is_a_new_version(store, folder, change):
    change('name = "Egg"', 'name = "Big Egg"')
    load_site(store, folder, LATER)
    change('name = "Big Egg"', 'name = "Egg"')
    assert load_site(store, folder, LATER).new is True
    assert standing_site(store, "small-links").site.bunker("egg").name == "Egg"


def test_nothing_is_loaded_from_a_folder_with_mistakes(store, folder, change):
    change("x = 1000.0\ny = 2000.0", "x = nan\ny = 2000.0")
    with pytest.raises(SiteFolderError):
        load_site(store, folder, LATER)
    assert len(versions_of(store)) == 1


def test_an_outline_without_marks_may_change_under_its_revision(store, folder, change):
    change(*MOVED)
    assert load_site(store, folder, LATER).new is True


def test_an_outline_with_real_marks_needs_a_new_revision_to_change(store, folder, change, mark, batch):
    accept_records(store, "small-links", batch(mark(1)), LATER)
    change(*MOVED)
    with pytest.raises(ConflictError, match="new revision letter"):
        load_site(store, folder, LATER)
    assert len(versions_of(store)) == 1
    change('name = "Square"\nrevision = "A"', 'name = "Square"\nrevision = "B"')
    assert load_site(store, folder, LATER).new is True


def test_moving_the_tee_that_a_marked_bunker_is_placed_from_needs_a_new_revision_too(
    store, folder, change, mark, batch
):
    accept_records(store, "small-links", batch(mark(1, bunker="egg")), LATER)
    change("y = 2000.0\nlevel_m", "y = 2001.0\nlevel_m")
    with pytest.raises(ConflictError, match="'egg'"):
        load_site(store, folder, LATER)


def test_a_revision_that_was_away_cannot_come_back_changed(store, folder, change, mark, batch):
    accept_records(store, "small-links", batch(mark(1)), LATER)
    change('name = "Square"\nrevision = "A"', 'name = "Square"\nrevision = "B"')
    load_site(store, folder, LATER)
    change('name = "Square"\nrevision = "B"', 'name = "Square"\nrevision = "A"')
    change(*MOVED)
    with pytest.raises(ConflictError):
        load_site(store, folder, LATER)


def test_practice_marks_do_not_bind_a_revision(store, folder, change, mark, batch):
    accept_records(store, "small-links", batch(mark(1, practice=True)), LATER)
    change(*MOVED)
    assert load_site(store, folder, LATER).new is True


def test_a_marked_bunker_may_be_renamed_under_its_revision(store, folder, change, mark, batch):
    accept_records(store, "small-links", batch(mark(1)), LATER)
    change('name = "Square"', 'name = "Box"')
    assert load_site(store, folder, LATER).new is True


def test_a_site_that_was_never_loaded_is_not_found_and_the_others_are_named(store):
    with pytest.raises(NotFoundError, match="small-links"):
        standing_site(store, "heath")


def test_all_sites_are_listed_as_they_stand(store):
    assert [standing.site.id for standing in standing_sites(store)] == ["small-links"]


def test_a_course_grid_may_not_move_under_real_marks(store, folder, change, mark, batch):
    accept_records(store, "small-links", batch(mark(1)), LATER)
    change("origin_lat_deg = 57.2", "origin_lat_deg = 57.20001")
    with pytest.raises(ConflictError, match="course grid has changed"):
        load_site(store, folder, LATER)


def test_a_course_grid_may_move_while_there_are_no_real_marks(store, folder, change):
    change("origin_lat_deg = 57.2", "origin_lat_deg = 57.20001")
    assert load_site(store, folder, LATER).new is True
