"""Photos and pictures to draw over in a backup, and a backup that meets a site that has gone on."""

from __future__ import annotations

import io
import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image

from fieldapp.errors import ConflictError, FormatError
from fieldapp.formats.backup_pictures import PICTURES_FILE
from fieldapp.formats.backup_zip import ZipLimits
from fieldapp.settings import Settings
from fieldapp.store.backdrops import Backdrop, add_backdrop, all_backdrops, take_off
from fieldapp.store.engine import open_store
from fieldapp.store.photos import photos_of
from fieldapp.store.sites import standing_version, versions
from fieldapp.workflow.backdrops import backdrops_of, picture_of
from fieldapp.workflow.photos import photo_of, take_in_photo
from fieldapp.workflow.site_backup import bring_back
from fieldapp.workflow.sites import load_site, load_text_in
from tests.backups import files_in, opened, taken_from, zipped

SMALL_SITE = Path(__file__).parent / "small_site"
SITE = "small-links"
AT = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)
PHOTOS = ("photo-0001", "photo-0002")
STANDING, OFF = "backdrop-standing", "backdrop-taken-off"


def jpeg(width=60, height=40, colour="green", **beside):
    out = io.BytesIO()
    Image.new("RGB", (width, height), colour).save(out, "JPEG", **beside)
    return out.getvalue()


@pytest.fixture
def stores(tmp_path):
    """A store of a site with two photos and two pictures, one of them taken off; and an empty one."""
    one, other = (open_store(Settings(data_dir=tmp_path / name)) for name in ("one", "other"))
    load_site(one, SMALL_SITE, AT)
    for photo_id, colour in zip(PHOTOS, ("red", "blue"), strict=True):
        take_in_photo(one, SITE, photo_id, jpeg(colour=colour), AT, device="phone 1", came_by="Robin")
    with one.writing() as transaction:
        for number, backdrop_id in enumerate((STANDING, OFF)):
            add_backdrop(transaction, backdrop(backdrop_id), jpeg(80 + number, 50))
        take_off(transaction, OFF, "Kim", AT + timedelta(days=1))
    yield one, other
    one.close()
    other.close()


def backdrop(backdrop_id):
    width = 80 if backdrop_id == STANDING else 81
    world = (0.1, 0.0, 0.0, -0.1, 2000.0, 1 / 3)
    return Backdrop(
        backdrop_id, SITE, "Plan, 1:500", "image/jpeg", width, 50, world, "2 places: p1, p2.", "Kim", AT
    )


def held_of(store):
    with store.reading() as transaction:
        return photos_of(transaction, SITE), all_backdrops(transaction, SITE), versions(transaction, SITE)


def test_pictures_come_back_as_they_were_and_what_was_taken_off_stays_off(stores):
    one, other = stores
    taken = taken_from(one, SITE)
    told = bring_back(other, opened(taken), AT, "backup.zip")
    assert told.words.endswith("is back. 2 photos, 2 pictures to draw over came in with it.")
    assert held_of(other)[:2] == held_of(one)[:2]
    assert [one.id for one in backdrops_of(other, SITE)] == [STANDING]
    for photo_id in PHOTOS:
        assert photo_of(other, SITE, photo_id, small=False) == photo_of(one, SITE, photo_id, small=False)
    for backdrop_id in (STANDING, OFF):
        assert picture_of(other, SITE, backdrop_id) == picture_of(one, SITE, backdrop_id)
    assert taken_from(other, SITE) == taken == taken_from(one, SITE)


def test_brought_back_where_all_is_held_nothing_changes(stores):
    one, _ = stores
    before, taken = held_of(one), taken_from(one, SITE)
    assert bring_back(one, opened(taken), AT, "backup.zip").words.endswith("stood like this already.")
    assert held_of(one) == before


def test_a_picture_taken_off_since_stays_off_and_one_that_stands_stays(stores):
    one, other = stores
    while_it_stood = taken_from(one, SITE)
    bring_back(other, opened(while_it_stood), AT, "backup.zip")
    with one.writing() as transaction:
        take_off(transaction, STANDING, "Kim", AT + timedelta(days=2))
    bring_back(one, opened(while_it_stood), AT, "backup.zip")
    assert backdrops_of(one, SITE) == ()
    told = bring_back(other, opened(taken_from(one, SITE)), AT, "backup.zip")
    assert "1 picture to draw over that the backup took off still stands here." in told.words
    assert [one.id for one in backdrops_of(other, SITE)] == [STANDING]


def test_another_picture_under_a_held_id_keeps_the_backup_out(stores):
    one, _ = stores
    before, files = held_of(one), files_in(taken_from(one, SITE))
    strange = {**files, f"backdrops/{STANDING}.jpg": jpeg(80, 50, "white")}
    other_photo = changed(files, lambda it: it["photos"][1].update(sent_hash="0" * 64))
    for content in (zipped(strange), other_photo):
        with pytest.raises(ConflictError, match="held here as another picture"):
            bring_back(one, opened(content), AT, "backup.zip")
    assert held_of(one) == before


def changed(files, change):
    document = json.loads(files[PICTURES_FILE])
    change(document)
    return zipped({**files, PICTURES_FILE: json.dumps(document)})


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda it: it.update(version=2), "another kind or version"),
        (lambda it: it["photos"][0].update(id="../../site"), "cannot be read"),
        (lambda it: it["photos"].append(it["photos"][0]), "cannot be read"),
        (lambda it: it["photos"][0].update(id="photo-0009"), r"lacks photos/photo-0009\.jpg"),
        (lambda it: it["photos"][0].update(width=61), "is not the picture that was kept"),
        (lambda it: it["photos"][0].update(width=1601), "more than 1,600 pixels a side"),
        (lambda it: it["photos"][0].update(received_at="soon"), "cannot be read"),
        (lambda it: it["backdrops"][0].update(width=4001), "FIELDAPP_BACKDROP_SIDE"),
        (lambda it: it["backdrops"][0].update(world=[1.0, 0.0]), "cannot be read"),
        (lambda it: it["backdrops"][0].update(world=["1"] * 6), "cannot be read"),
        (lambda it: it["backdrops"][0].update(world=[0.0] * 6), "lies nowhere"),
        (lambda it: it["backdrops"][1].update(gone_at="soon"), "cannot be read"),
        (lambda it: it["backdrops"][0].update(media_type="text/html"), "cannot be read"),
    ],
)
def test_nothing_is_kept_where_a_picture_is_told_of_wrongly(stores, change, words):
    one, other = stores
    with pytest.raises(FormatError, match=words):
        bring_back(other, opened(changed(files_in(taken_from(one, SITE)), change)), AT, "backup.zip")
    assert held_of(other) == ((), (), [])


def test_a_picture_with_more_than_its_picture_is_not_kept(stores):
    one, other = stores
    told = Image.Exif()
    told[0x010F] = "a camera"
    for content in (jpeg(exif=told), jpeg(comment=b"a place"), b"<html>", jpeg(61, 40)):
        files = files_in(taken_from(one, SITE)) | {f"photos/{PHOTOS[0]}.jpg": content}
        with pytest.raises(FormatError, match="is not the picture that was kept"):
            bring_back(other, opened(zipped(files)), AT, "backup.zip")
    assert held_of(other) == ((), (), [])


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        (ZipLimits(most_files=9), "holds 10 files.*FIELDAPP_BACKUP_FILES"),
        (ZipLimits(most_unpacked=6_000), "FIELDAPP_BACKUP_UNPACKED_MB"),
        (ZipLimits(most_text=5_000), "without its pictures.*FIELDAPP_BACKUP_TEXT_MB"),
    ],
)
def test_too_much_is_told_with_the_setting_that_decides_it(stores, limits, words):
    with pytest.raises(FormatError, match=words):
        opened(taken_from(stores[0], SITE), limits)


def load_with(store, name):
    with store.writing() as transaction:
        text = standing_version(transaction, SITE).document
        load_text_in(transaction, text.replace("Small Links", name), AT, "a folder")


def test_the_pictures_of_an_older_backup_come_in_where_the_site_stays_as_it_is(stores):
    one, other = stores
    older = taken_from(one, SITE)
    load_site(other, SMALL_SITE, AT)
    load_with(other, "Smaller Links")
    before = held_of(other)[2]
    told = bring_back(other, opened(older), AT, "backup.zip")
    assert "stays as it stands here" in told.words
    assert "2 photos, 2 pictures to draw over came in" in told.words
    assert held_of(other) == (*held_of(one)[:2], before)


def test_a_backup_that_has_gone_on_from_what_stands_here_becomes_the_next_version(stores):
    one, other = stores
    bring_back(other, opened(taken_from(one, SITE)), AT, "backup.zip")
    for name in ("Smaller Links", "Smallest Links"):
        load_with(one, name)
    told = bring_back(other, opened(taken_from(one, SITE)), AT, "backup.zip")
    assert told.words.endswith("is loaded as the next version.")
    assert held_of(other)[2][0].document == held_of(one)[2][0].document
    assert len(held_of(other)[2]) == 2
