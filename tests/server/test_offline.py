"""What the server gives a phone so that it works without signal."""

import json
import re
import struct
from datetime import UTC, datetime

import pytest
from starlette.types import Receive, Scope, Send

SITE = "/sites/small-links"
KEPT = re.compile(r"self\.KEPT = (\{.*\});\n")


def kept_of(answer):
    return json.loads(KEPT.match(answer.text)[1])


class Beneath:
    """An application reached through a proxy that puts a path before everything."""

    def __init__(self, app, root):
        self.app, self.root = app, root

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        await self.app(scope | {"root_path": self.root}, receive, send)


def test_the_set_out_page_is_the_same_bytes_for_every_bunker(manager):
    pages = {manager.get(f"{SITE}/set-out/{bunker}").content for bunker in ("square", "egg")}
    assert len(pages) == 1
    assert b"square" not in pages.pop()


@pytest.mark.parametrize("path", [f"{SITE}/set-out/pit", "/sites/nowhere/set-out/pit", "/field/nowhere"])
def test_a_site_or_bunker_that_is_not_there_is_still_refused_in_words(manager, path):
    page = manager.get(path, headers={"accept": "text/html"})
    assert page.status_code == 404
    assert "There is no" in page.text


@pytest.mark.parametrize(
    ("name", "path"), [("set-out", f"{SITE}/set-out/square"), ("field", "/field/small-links")]
)
def test_the_shell_that_the_worker_keeps_is_the_page_itself(manager, name, path):
    shells = kept_of(manager.get("/sw.js"))["shells"]
    assert manager.get(shells[name]).content == manager.get(path).content


def test_a_script_of_another_release_or_name_is_not_answered(manager, app):
    assert manager.get("/s/0000000000000000/script/field.js").status_code == 404
    assert manager.get(f"/s/{app.state.assets.release}/script/desk.js").status_code == 404


def test_a_shell_of_another_release_or_name_is_not_answered(manager, app):
    assert manager.get("/s/0000000000000000/shell/field").status_code == 404
    assert manager.get(f"/s/{app.state.assets.release}/shell/site").status_code == 404


def test_every_file_the_worker_keeps_is_served_and_nothing_the_pages_need_is_left_out(manager, app):
    kept = kept_of(manager.get("/sw.js"))
    for url in kept["files"]:
        assert manager.get(url).status_code == 200, url
    for shell in kept["shells"].values():
        wanted = re.findall(r'(?:href|src)="(/s/[^"]+)"', manager.get(shell).text)
        left_out = [url for url in wanted if url not in kept["files"] and "apple-touch-icon" not in url]
        assert len(wanted) >= 5
        assert left_out == []


def test_phones_keep_no_file_that_their_pages_do_not_name(manager):
    kept = kept_of(manager.get("/sw.js"))
    named = "".join(manager.get(shell).text for shell in kept["shells"].values())
    unused = [url for url in kept["files"] if f'="{url}"' not in named]
    assert unused == []
    assert not any("board.css" in url or "desk.css" in url for url in kept["files"])


def test_the_worker_is_asked_for_again_each_time_and_carries_the_policy(manager, app):
    answer = manager.get("/sw.js")
    assert answer.headers["content-type"] == "text/javascript; charset=utf-8"
    assert answer.headers["cache-control"] == "no-cache"
    assert "connect-src 'self'" in answer.headers["content-security-policy"]
    assert kept_of(answer)["release"] == app.state.assets.release


def test_beneath_a_path_of_a_proxy_every_address_lies_beneath_it(app, visitor_to):
    crew = visitor_to(Beneath(app, "/course"))
    kept = kept_of(crew.get("/sw.js"))
    manifest = crew.get("/manifest.webmanifest?site=small-links").json()
    index = crew.get("/api/sites/small-links/field").json()
    addresses = [*kept["files"], *kept["shells"].values(), manifest["scope"], manifest["start_url"]]
    addresses += [icon["src"] for icon in manifest["icons"]] + [hole["bundle_url"] for hole in index["holes"]]
    assert all(address.startswith("/course/") for address in addresses)


def test_the_manifest_starts_at_the_field_page_with_icons_of_the_sizes_it_says(manager):
    answer = manager.get("/manifest.webmanifest?site=small-links")
    manifest = answer.json()
    assert answer.headers["content-type"] == "application/manifest+json"
    assert (manifest["start_url"], manifest["scope"], manifest["display"]) == (
        "/field/small-links",
        "/",
        "standalone",
    )
    for icon in manifest["icons"]:
        picture = manager.get(icon["src"]).content
        width, height = struct.unpack(">II", picture[16:24])
        assert f"{width}x{height}" == icon["sizes"]
    assert {icon["purpose"] for icon in manifest["icons"]} == {"any", "maskable"}


def test_a_manifest_for_something_that_is_no_site_id_is_refused(manager):
    answer = manager.get("/manifest.webmanifest?site=../x")
    assert answer.status_code == 422
    assert "no id of a site" in answer.json()["detail"]


@pytest.mark.parametrize("path", ["/sw.js", "/manifest.webmanifest?site=small-links", "/api/clock"])
def test_what_says_nothing_of_a_site_is_open_to_all(app, visitor_to, path):
    assert visitor_to(app, "192.168.1.20").get(path).status_code == 200


@pytest.mark.parametrize("path", ["/field/small-links", "/api/sites/small-links/field"])
def test_what_tells_of_a_site_is_for_the_crew(app, visitor_to, path):
    assert visitor_to(app, "192.168.1.20").get(path).status_code == 401


def test_the_clock_gives_the_time_of_the_server_and_is_never_stored(manager):
    before = datetime.now(UTC)
    answer = manager.get("/api/clock")
    now = datetime.fromisoformat(answer.json()["now"])
    assert abs((now - before).total_seconds()) < 5
    assert answer.headers["cache-control"] == "no-store"


def test_the_index_names_each_hole_with_the_id_of_its_bundle(manager):
    index = manager.get("/api/sites/small-links/field").json()
    assert (index["format"], index["version"], index["site"]) == ("fieldapp-field-index", 1, "small-links")
    for hole in index["holes"]:
        bundle = manager.get(hole["bundle_url"]).json()
        assert hole["content_id"] == bundle["content_id"]
        listed = {b["id"]: (b["name"], b["revision"], b["points"]) for b in hole["bunkers"]}
        assert listed == {
            b["id"]: (b["name"], b["revision"], sum(len(o["points"]) for o in b["outlines"]))
            for b in bundle["bunkers"]
        }
    assert sum(len(hole["bunkers"]) for hole in index["holes"]) == 2


def test_a_phone_that_has_the_newest_bundle_is_not_sent_it_again(manager, send, mark):
    (hole, *_) = manager.get("/api/sites/small-links/field").json()["holes"]
    tag = {"If-None-Match": f'W/"{hole["content_id"]}"'}
    assert manager.get(hole["bundle_url"], headers=tag).status_code == 304
    send(mark(1))
    assert manager.get(hole["bundle_url"], headers=tag).status_code == 200
