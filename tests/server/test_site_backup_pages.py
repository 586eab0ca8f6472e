"""A backup taken from one server and brought back on another, and strange files that are refused in a sentence."""

from __future__ import annotations

import html
import io
import re
import zipfile
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from fieldapp.server import site_new_pages
from fieldapp.server.app import create_app
from fieldapp.settings import FileLimits
from fieldapp.workflow.sites import standing_sites
from tests.field_records import place_document, undo_document


def bring(visitor, content, name="site.zip"):
    return visitor.post("/sites/from-zip", files={"file": (name, content, "application/zip")})


def told(answer):
    """The one or more sentences of a refusal, or of what came back."""
    found = re.findall(r'role="(?:alert|status)">(.*?)</p>', answer.text, re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", "", words)) for words in found)


@pytest.fixture
def empty(settings_of_empty, visitor_to):
    """A manager at a server that holds nothing."""
    app = create_app(settings_of_empty)
    yield visitor_to(app)
    app.state.store.close()


@pytest.fixture
def settings_of_empty(settings, tmp_path):
    return replace(settings, data_dir=tmp_path / "empty")


def test_a_backup_moves_to_another_server(manager, send, mark, empty):
    first = mark(1)
    send(first, mark(2), place_document(3))
    send(undo_document(first))
    manager.post(
        "/sites/small-links/edit/tees",
        data={"number": "0-1", "tee-0-was": "white", "tee-0-hole": "1", "tee-0-name": "B", "tee-0": "1, 2"},
    )
    taken = manager.get("/sites/small-links/site.zip")
    assert taken.headers["content-disposition"] == 'attachment; filename="small-links.zip"'
    names = zipfile.ZipFile(io.BytesIO(taken.content)).namelist()
    assert names == ["README.txt", "site.toml", "issues.csv", "history.json", "records.json"]
    back = bring(empty, taken.content)
    assert (back.status_code, told(back)) == (
        200,
        "Small Links (invented) is back. 4 records came in with it. Open it",
    )
    assert empty.get("/sites/small-links/site.zip").content == taken.content
    assert (
        empty.get("/sites/small-links/records.csv").text == manager.get("/sites/small-links/records.csv").text
    )
    assert told(bring(empty, taken.content)).startswith("Small Links (invented) stood like this already.")


def test_a_backup_with_pictures_is_put_together_on_disk_and_read_within_the_settings(
    manager, empty, settings_of_empty, visitor_to, monkeypatch
):
    monkeypatch.setattr(site_new_pages, "IN_MEMORY", 1_000)
    for number in range(3):
        sent = {"content": picture(number), "headers": {"content-type": "image/png"}}
        assert (
            manager.ask("PUT", f"/api/sites/small-links/photos/photo-000{number}", **sent).status_code == 200
        )
    taken = manager.get("/sites/small-links/site.zip").content
    assert told(bring(empty, taken)) == "Small Links (invented) is back. 3 photos came in with it. Open it"
    assert empty.get("/sites/small-links/site.zip").content == taken
    photo = "/api/sites/small-links/photos/photo-0001"
    assert empty.get(photo).content == manager.get(photo).content
    narrow = FileLimits(backup_files=5)
    app = create_app(replace(settings_of_empty, data_dir=settings_of_empty.data_dir / "2", files=narrow))
    refused = bring(visitor_to(app), taken)
    assert (refused.status_code, "FIELDAPP_BACKUP_FILES" in told(refused)) == (422, True)
    assert standing_sites(app.state.store) == []
    app.state.store.close()


def picture(number):
    out = io.BytesIO()
    Image.effect_noise((300, 200), 20 + number).save(out, "PNG")
    return out.getvalue()


def test_no_file_a_broken_site_and_too_much_are_told(empty):
    none = empty.post("/sites/from-zip", files={"other": ("a.txt", b"x")})
    assert (none.status_code, told(none)) == (422, "No file was chosen: choose the zip of a site.")
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("site.toml", 'format = "fieldapp-site"\nversion = 1\nid = "x"\n')
    broken = bring(empty, made.getvalue())
    assert broken.status_code == 422
    assert "the site has no hole" in told(broken)
    said = empty._app.state.settings.files.backup_bytes + 1
    larger = empty.post("/sites/from-zip", content=b"", headers={"content-length": str(said)})
    assert larger.status_code == 413
    assert "FIELDAPP_BACKUP_MOST_MB" in larger.json()["detail"]
    assert standing_sites(empty._app.state.store) == []


def test_whatever_is_handed_in_is_a_site_or_a_sentence(manager, empty):
    """Lightly fuzzed: bytes of a real backup changed, cut short, or put into its files."""
    taken = manager.get("/sites/small-links/site.zip").content
    files = {
        name: zipfile.ZipFile(io.BytesIO(taken)).read(name)
        for name in zipfile.ZipFile(io.BytesIO(taken)).namelist()
    }
    places = st.integers(0, len(taken) - 1)

    @settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
    @given(
        st.lists(st.tuples(places, st.binary(min_size=1, max_size=3)), max_size=6), st.integers(0, len(taken))
    )
    def bytes_changed(changes, length):
        content = bytearray(taken)
        for at, put in changes:
            content[at : at + len(put)] = put
        check(bytes(content[:length] if length % 3 == 0 else content))

    @settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
    @given(st.sampled_from(sorted(files)), st.integers(0, 10_000), st.text(max_size=12), st.integers(0, 8))
    def files_changed(name, at, put, gone):
        text = files[name].decode()
        at %= len(text)
        made = io.BytesIO()
        with zipfile.ZipFile(made, "w") as archive:
            for each, content in files.items():
                changed = (text[:at] + put + text[at + gone :]).encode("utf-8", "surrogatepass")
                archive.writestr(each, changed if each == name else content)
        check(made.getvalue())

    def check(content):
        before = len(standing_sites(empty._app.state.store))
        answer = bring(empty, content)
        assert answer.status_code in (200, 409, 422), answer.text
        assert told(answer)
        if answer.status_code != 200:
            assert len(standing_sites(empty._app.state.store)) == before

    bytes_changed()
    files_changed()


@pytest.mark.parametrize("is_whole", [True, False])
def test_a_zip_of_a_site_whose_id_is_another_page_is_refused(manager, empty, is_whole):
    taken = zipfile.ZipFile(io.BytesIO(manager.get("/sites/small-links/site.zip").content))
    renamed = io.BytesIO()
    with zipfile.ZipFile(renamed, "w") as archive:
        for name in taken.namelist() if is_whole else ["site.toml"]:
            text = taken.read(name).decode().replace("small-links", "new")
            archive.writestr(name, text)
    answer = bring(empty, renamed.getvalue())
    assert (answer.status_code, "A site cannot have the id 'new'" in told(answer)) == (422, True)
    assert standing_sites(empty._app.state.store) == []
