"""Static files: one release id, addresses that never change their content."""

import pytest

from fieldapp.errors import NotFoundError
from fieldapp.server.assets import Assets


@pytest.fixture
def folder(tmp_path):
    for name, content in {
        "phone/main.js": "import './geometry/x.js';",
        "phone/geometry/x.js": "export const x = 1;",
        "styles/phone.css": "body { margin: 0 }",
        "templates/site.html": "<p>{{ page }}</p>",
        ".hidden": "",
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(content)
    return tmp_path


def test_the_release_is_the_same_while_no_file_changes(folder):
    assert Assets(folder).release == Assets(folder).release


@pytest.mark.parametrize("change", ["content", "name", "template", "new file"])
def test_any_change_of_any_file_makes_a_new_release(folder, change):
    before = Assets(folder).release
    if change == "content":
        (folder / "phone/geometry/x.js").write_text("export const x = 2;")
    elif change == "name":
        (folder / "phone/geometry/x.js").rename(folder / "phone/geometry/y.js")
    elif change == "template":
        (folder / "templates/site.html").write_text("<b>{{ page }}</b>")
    else:
        (folder / "new.js").write_text("")
    assert Assets(folder).release != before


def test_templates_and_hidden_files_are_not_served(folder):
    assert set(Assets(folder).names()) == {"phone/main.js", "phone/geometry/x.js", "styles/phone.css"}


def test_an_address_for_a_file_that_is_not_there_is_refused_when_it_is_written(folder):
    with pytest.raises(NotFoundError, match=r"nothing\.css"):
        Assets(folder).static_url("nothing.css")


@pytest.mark.parametrize(
    ("name", "media_type"),
    [("phone/main.js", "text/javascript; charset=utf-8"), ("styles/phone.css", "text/css; charset=utf-8")],
)
def test_a_static_file_may_be_kept_for_a_year(app, manager, folder, name, media_type):
    app.state.assets = Assets(folder)
    answer = manager.get(app.state.assets.static_url(name))
    assert answer.status_code == 200
    assert answer.headers["content-type"] == media_type
    assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"
    assert answer.content == (folder / name).read_bytes()


@pytest.mark.parametrize(
    "path",
    ["../pyproject.toml", "%2e%2e/pyproject.toml", "templates/site.html", "phone", "phone/", "", ".hidden"],
)
def test_nothing_else_of_the_disk_is_served(app, manager, folder, path):
    app.state.assets = Assets(folder)
    assert manager.get(f"/s/{app.state.assets.release}/{path}").status_code == 404


def test_an_address_of_another_release_is_not_answered(app, manager, folder):
    app.state.assets = Assets(folder)
    assert manager.get("/s/0000000000000000/phone/main.js").status_code == 404


def test_static_files_are_open_to_phones_that_have_no_link_yet(app, visitor_to, folder):
    app.state.assets = Assets(folder)
    assert (
        visitor_to(app, "192.168.1.20").get(app.state.assets.static_url("phone/main.js")).status_code == 200
    )
