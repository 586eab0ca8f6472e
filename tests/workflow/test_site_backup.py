"""A site taken away as a zip and brought back into an empty store: nothing is lost, nothing strange comes in."""

from __future__ import annotations

import io
import json
import stat
import zipfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldapp.errors import ConflictError, FormatError, SiteFolderError
from fieldapp.formats.backup_zip import ZipLimits
from fieldapp.formats.draft import draft_document
from fieldapp.formats.site_backup import HISTORY_FILE, RECORDS_FILE
from fieldapp.settings import Settings
from fieldapp.store.drafts import PLACES, KeptDraft, add_draft
from fieldapp.store.engine import open_store
from fieldapp.store.issues import Issue, add_issue, issues_of
from fieldapp.store.sites import standing_version, versions
from fieldapp.workflow.draft_issue import Signing, issue_draft
from fieldapp.workflow.drafting import standing_draft
from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.site_backup import bring_back
from fieldapp.workflow.site_drafts import OpenedAt, begin_site, drop_draft, load_draft, save_part
from fieldapp.workflow.site_drafts import draft_of as site_draft
from fieldapp.workflow.sites import load_site, load_text_in, standing_site
from tests.backups import files_in, opened, taken_from, zipped
from tests.bunker_drafts import SQUARE, draft_of, moved, save
from tests.field_records import accept_records, batch_of, mark_document, place_document, undo_document

REPOSITORY = Path(__file__).parents[2]
SAMPLES = sorted(path.parent for path in (REPOSITORY / "sample_sites").glob("*/site.toml"))
SMALL_SITE = Path(__file__).parent / "small_site"
AT = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)


@pytest.fixture
def stores(tmp_path):
    """Two empty stores."""
    made = [open_store(Settings(data_dir=tmp_path / name)) for name in ("one", "other")]
    yield made
    for store in made:
        store.close()


def document_of(store, site_id):
    with store.reading() as transaction:
        return standing_version(transaction, site_id)


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_every_sample_comes_back_as_it_was(stores, folder):
    one, other = stores
    site = load_site(one, folder, AT).site
    taken = taken_from(one, site.id)
    bring_back(other, opened(taken), AT, "backup.zip")
    here, there = document_of(one, site.id), document_of(other, site.id)
    assert (there.document, there.content_id) == (here.document, here.content_id)
    assert taken_from(other, site.id) == taken


def full_store(store):
    """A site of two versions with an issued revision, drafts, and marks of both revisions, one taken back."""
    load_site(store, SMALL_SITE, AT)
    accept_records(store, "small-links", batch_of(mark_document(1)), AT, "Robin")
    text = document_of(store, "small-links").document.replace('revision = "A"', 'revision = "B"')
    with store.writing() as transaction:
        load_text_in(transaction, text, AT + timedelta(days=1), "a folder")
        newest = versions(transaction, "small-links")[0]
        issue = Issue(
            "small-links", "square", "B", newest.sequence, "draft 2", "Kim", "=drier", AT, ("cable: 0.4 m",)
        )
        add_issue(transaction, issue)
        for number in (1, 2):
            text = json.dumps(draft_document(draft_of(moved(SQUARE, number))), separators=(",", ":"))
            add_draft(transaction, KeptDraft("small-links", "square", number, "open", text, "Kim", AT))
    mark = mark_document(2)
    accept_records(store, "small-links", batch_of(mark, place_document(3)), AT + timedelta(days=2))
    accept_records(store, "small-links", batch_of(undo_document(mark)), AT + timedelta(days=3), "Robin")


def test_history_drafts_issues_and_records_come_back_too(stores):
    one, other = stores
    full_store(one)
    taken = taken_from(one, "small-links")
    told = bring_back(other, opened(taken), AT, "backup.zip")
    assert told.words.endswith("is back. 4 records came in with it.")
    assert taken_from(other, "small-links") == taken
    here, there = held_records_of(one, "small-links"), held_records_of(other, "small-links")
    assert there == here
    assert {bool(item.remarks) for item in here} == {True, False}
    with other.reading() as transaction:
        assert issues_of(transaction, "small-links")[0].why == "=drier"
    assert "'=drier" in files_in(taken)["issues.csv"].decode()


@pytest.mark.parametrize("drew", ["nobody", "Ada"])
def test_where_an_earlier_version_stands_what_came_after_follows_with_its_revisions_and_drafts(stores, drew):
    one, other = stores
    full_store(one)
    load_site(other, SMALL_SITE, AT)
    if drew == "Ada":
        save(other, "small-links", draft_of(moved(SQUARE, 0.3)))
    taken = taken_from(one, "small-links")
    told = bring_back(other, opened(taken), AT, "backup.zip").words
    assert "is loaded as the next version. 4 records came in with it." in told
    assert told.endswith("Drafts of square in it stayed out, since others were saved here.") == (
        drew == "Ada"
    )
    again = bring_back(other, opened(taken), AT, "backup.zip").words
    assert "stood like this already." in again
    if drew == "nobody":
        assert taken_from(other, "small-links") == taken
    with other.reading() as transaction:
        (issue,) = issues_of(transaction, "small-links")
    assert (issue.revision, issue.person, issue.why) == ("B", "Kim", "=drier")


def test_brought_back_where_it_stands_it_changes_nothing(stores):
    one, _ = stores
    full_store(one)
    taken = taken_from(one, "small-links")
    told = bring_back(one, opened(taken), AT, "backup.zip")
    assert told.words.endswith("stood like this already.")
    assert taken_from(one, "small-links") == taken


def test_a_changed_site_may_not_move_what_was_issued(stores):
    one, _ = stores
    full_store(one)
    backup = opened(taken_from(one, "small-links"))
    with pytest.raises(ConflictError, match="another outline of bunker 'square'"):
        bring_back(one, opened(zipped({"site.toml": moved_bunker(backup.text)})), AT, "x")


def moved_bunker(text):
    before, bunkers = text.split("[[bunker]]", 1)
    return f"{before}[[bunker]]{bunkers.replace('2200.0', '2201.0')}"


def test_a_zipped_folder_of_a_person_comes_in_with_the_files_it_names(stores):
    _, other = stores
    folder = next(folder for folder in SAMPLES if (folder / "levels.csv").exists())
    files = {f"{folder.name}/{file.name}": file.read_bytes() for file in folder.iterdir() if file.is_file()}
    told = bring_back(other, opened(zipped(files)), AT, "folder.zip")
    assert standing_site(other, told.site_id).site.spot_levels
    assert document_of(other, told.site_id).loaded_from == "the backup folder.zip"


def linked(name="site.toml"):
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        entry = zipfile.ZipInfo(name)
        entry.create_system, entry.external_attr = 3, (stat.S_IFLNK | 0o777) << 16
        archive.writestr(entry, "/etc/passwd")
    return made.getvalue()


def bomb():
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("site.toml", b"#" * 30_000_000)
    return made.getvalue()


def lying_bomb():
    """A zip whose directory says that its file unpacks to 10 bytes."""
    content = bytearray(bomb())
    at = content.index(b"PK\x01\x02") + 24
    content[at : at + 4] = (10).to_bytes(4, "little")
    at = content.index(b"PK\x03\x04") + 22
    content[at : at + 4] = (10).to_bytes(4, "little")
    return bytes(content)


def twice():
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("site.toml", "a")
        with pytest.warns(UserWarning, match="Duplicate"):
            archive.writestr("site.toml", "b")
    return made.getvalue()


SMALL = (SMALL_SITE / "site.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "no zip that can be read"),
        (b"PK\x03\x04 and then nothing", "no zip that can be read"),
        (zipped({"readme.txt": "x"}), "holds no site.toml"),
        (zipped({"../site.toml": SMALL}), "leads out of its folder"),
        (zipped({"/site.toml": SMALL}), "leads out of its folder"),
        (zipped({"a\\..\\site.toml": SMALL}), "leads out of its folder"),
        (zipped({"C:site.toml": SMALL}), "leads out of its folder"),
        (zipped({"a/b/c/site.toml": SMALL}), "leads out of its folder"),
        (zipped({"site.toml": SMALL, "x" * 200: ""}), "leads out of its folder"),
        (zipped({"site.toml": SMALL, "a\x1bb": ""}), "leads out of its folder"),
        (zipped({f"{number}.csv": "" for number in range(501)}), "501 files"),
        (linked(), "no plain file"),
        (bomb(), "comes to more than"),
        (lying_bomb(), "no zip that can be read|comes to more than"),
        (zipped({"site.toml": b"\xff\xfe"}), "not text in UTF-8"),
        (zipped({"site.toml": SMALL, HISTORY_FILE: "{"}), "history.json in the zip cannot be read"),
        (zipped({"site.toml": SMALL, HISTORY_FILE: "[]"}), "history.json in the zip cannot be read"),
        (zipped({"site.toml": SMALL, HISTORY_FILE: "{}"}), "another kind or version"),
    ],
)
def test_a_strange_zip_is_refused_in_one_sentence(content, words):
    with pytest.raises(FormatError, match=words) as refused:
        opened(content, ZipLimits(most_files=500, most_unpacked=20_000_000))
    assert "\n" not in str(refused.value)


def test_two_files_of_one_name_are_refused():
    with pytest.raises(FormatError, match=r"two files named 'site\.toml'"):
        opened(twice())


def test_a_site_with_mistakes_is_told_as_a_site_folder_is():
    with pytest.raises(SiteFolderError) as refused:
        opened(zipped({"site.toml": SMALL.replace("id = ", "idd = ", 1)}))
    assert refused.value.mistakes


def changed(taken, file, change):
    """The zip with one of its JSON files changed."""
    files = files_in(taken)
    document = json.loads(files[file])
    change(document)
    return zipped({**files, file: json.dumps(document).encode()})


@pytest.mark.parametrize(
    ("file", "change", "words"),
    [
        (HISTORY_FILE, lambda it: it["versions"].pop(), "somebody changed it"),
        (HISTORY_FILE, lambda it: it["versions"].clear(), "somebody changed it"),
        (HISTORY_FILE, lambda it: it["versions"][0].update(text=3), "cannot be read as it was written"),
        (HISTORY_FILE, lambda it: it["versions"][0].update(loaded_at="soon"), "cannot be read"),
        (HISTORY_FILE, lambda it: it["issues"][0].update(version=7), "cannot be read"),
        (HISTORY_FILE, lambda it: it["issues"][0].update(acknowledged=[1]), "cannot be read"),
        (HISTORY_FILE, lambda it: it["drafts"][0].update(number=2), "a draft twice"),
        (HISTORY_FILE, lambda it: it["drafts"][0].update(state="lost"), "a draft twice or in no known state"),
        (HISTORY_FILE, lambda it: it["drafts"].append(3), "cannot be read"),
        (RECORDS_FILE, lambda it: it["came"].pop(), "cannot be read"),
        (RECORDS_FILE, lambda it: it["came"][0].pop(), "cannot be read"),
        (RECORDS_FILE, lambda it: it["records"][0].update(kind="wish"), "its kind is 'wish'"),
        (RECORDS_FILE, lambda it: it["records"][0].update(site="other"), "records of site 'other'"),
    ],
)
def test_nothing_of_a_backup_with_a_fault_is_kept(stores, file, change, words):
    one, other = stores
    full_store(one)
    taken = changed(taken_from(one, "small-links"), file, change)
    with pytest.raises(FormatError, match=words):
        bring_back(other, opened(taken), AT, "backup.zip")
    with other.reading() as transaction:
        assert versions(transaction, "small-links") == []
        assert issues_of(transaction, "small-links") == ()
    bring_back(other, opened(taken_from(one, "small-links")), AT, "backup.zip")


def test_a_record_that_contradicts_a_held_one_keeps_the_backup_out(stores):
    one, other = stores
    full_store(one)
    taken = changed(
        taken_from(one, "small-links"),
        RECORDS_FILE,
        lambda it: it["records"][0].update(person="Somebody else"),
    )
    bring_back(other, opened(taken_from(one, "small-links")), AT, "backup.zip")
    with pytest.raises(ConflictError, match="held here with other content"):
        bring_back(other, opened(taken), AT, "backup.zip")


def issued_new(store):
    """A bunker that was drawn here, and never was in a folder."""
    save(store, "small-links", draft_of(moved(SQUARE, 60.0), "new", name="New", grew_from=None))
    issue_draft(store, "small-links", "new", Signing(1, "A", "Kim", "wanted", frozenset()), AT)


@pytest.mark.parametrize("name", ["history", "folder"])
def test_an_older_backup_does_not_undo_what_was_done_since_and_its_records_come_in(stores, name):
    one, _ = stores
    load_site(one, SMALL_SITE, AT)
    taken = taken_from(one, "small-links")
    if name == "folder":
        taken = zipped({"site.toml": files_in(taken)["site.toml"]})
    issued_new(one)
    before = document_of(one, "small-links")
    told = bring_back(one, opened(taken), AT, "backup.zip")
    assert "stays as it stands here: the zip has an earlier version" in told.words
    assert document_of(one, "small-links") == before


def renamed(store, name, other):
    """Loads the site with a bunker called otherwise."""
    text = document_of(store, "small-links").document
    with store.writing() as transaction:
        assert load_text_in(transaction, text.replace(name, other), AT, "a folder").new


def test_a_backup_of_a_site_that_went_back_to_an_earlier_version_is_no_older(stores):
    one, other = stores
    load_site(one, SMALL_SITE, AT)
    renamed(one, "Square", "Pit")
    bring_back(other, opened(taken_from(one, "small-links")), AT, "b.zip")
    renamed(one, "Pit", "Square")
    save(one, "small-links", draft_of(moved(SQUARE, 1.0)))
    went_back = taken_from(one, "small-links")
    assert "is loaded as the next version." in bring_back(other, opened(went_back), AT, "b.zip").words
    assert taken_from(other, "small-links") == went_back
    renamed(other, "Square", "Pit")
    before = taken_from(other, "small-links")
    assert "an earlier version of it" in bring_back(other, opened(went_back), AT, "b.zip").words
    assert taken_from(other, "small-links") == before


def test_drafts_of_the_site_and_of_places_that_stay_out_are_told_in_words(stores):
    one, other = stores
    for store, person in ((one, "Kim"), (other, "Lee")):
        load_site(store, SMALL_SITE, AT)
        tables = site_draft(store, "small-links").tables
        save_part(store, "small-links", ("note",), tables | {"note": person}, OpenedAt(0, 1), person, AT)
        place = json.dumps({"record": json.dumps(place_document(3)), "came_by": ""})
        with store.writing() as transaction:
            add_draft(transaction, KeptDraft("small-links", PLACES, 1, "open", place, person, AT))
    told = bring_back(other, opened(taken_from(one, "small-links")), AT, "b.zip").words
    assert "Drafts of the site, places read in it stayed out" in told


def test_where_both_went_on_nothing_is_undone(stores):
    one, other = stores
    load_site(one, SMALL_SITE, AT)
    bring_back(other, opened(taken_from(one, "small-links")), AT, "b.zip")
    issued_new(one)
    with other.writing() as transaction:
        text = standing_version(transaction, "small-links").document.replace("Two bunkers", "Both bunkers", 1)
        assert load_text_in(transaction, text, AT, "a folder").new
    before = taken_from(one, "small-links")
    with pytest.raises(ConflictError, match="would undo what was done here"):
        bring_back(one, opened(taken_from(other, "small-links")), AT, "b.zip")
    assert taken_from(one, "small-links") == before


def test_a_site_given_up_while_it_was_made_does_not_keep_its_backup_out(stores):
    one, other = stores
    full_store(one)
    begin_site(other, "small-links", "Small", "Kim", AT)
    with pytest.raises(ConflictError, match="being made here already"):
        bring_back(other, opened(taken_from(one, "small-links")), AT, "b.zip")
    drop_draft(other, "small-links", 1, "Kim", AT)
    bring_back(other, opened(taken_from(one, "small-links")), AT, "b.zip")
    assert standing_site(other, "small-links").site == standing_site(one, "small-links").site


def test_a_draft_still_knows_the_version_it_grew_from_where_versions_are_numbered_otherwise(stores):
    one, other = stores
    load_site(other, SAMPLES[0], AT)
    load_site(one, SMALL_SITE, AT)
    save(one, "small-links", draft_of(moved(SQUARE, 1.0)))
    tables = site_draft(one, "small-links").tables
    save_part(one, "small-links", ("note",), tables | {"note": "drier"}, OpenedAt(0, 1), "Kim", AT)
    taken = taken_from(one, "small-links")
    bring_back(other, opened(taken), AT, "b.zip")
    assert standing_draft(other, "small-links", "square").document["from"]["site_version"] == 2
    assert taken_from(other, "small-links") == taken
    assert load_draft(other, "small-links", 1, "Kim", AT).new


@pytest.mark.parametrize(
    "document", ["no draft", "{}", "[]", json.dumps(draft_document(draft_of(SQUARE, "egg")))]
)
def test_a_draft_in_a_backup_that_is_none_is_refused_and_nothing_is_kept(stores, document):
    one, other = stores
    full_store(one)
    files = files_in(taken_from(one, "small-links"))
    history = json.loads(files[HISTORY_FILE])
    history["drafts"][0]["document"] = document
    files[HISTORY_FILE] = json.dumps(history).encode()
    with pytest.raises(FormatError, match="a draft that cannot be read"):
        bring_back(other, opened(zipped(files)), AT, "b.zip")
    assert document_of(other, "small-links") is None
