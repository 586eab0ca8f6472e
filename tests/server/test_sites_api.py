"""Sites and bundles over HTTP."""

from datetime import date


def test_the_sites_are_listed_with_their_holes_and_bunkers(manager):
    sites = manager.get("/api/sites").json()["sites"]
    assert [site["id"] for site in sites] == ["small-links"]
    assert sites[0]["holes"] == [{"number": 1, "name": "First"}]
    assert [bunker["id"] for bunker in sites[0]["bunkers"]] == ["square", "egg"]


def test_a_bundle_holds_the_hole(manager):
    bundle = manager.get("/api/sites/small-links/holes/1/bundle").json()
    assert (bundle["format"], bundle["version"]) == ("fieldapp-bundle", 1)
    assert bundle["site"]["id"] == "small-links"
    assert [bunker["id"] for bunker in bundle["bunkers"]] == ["square", "egg"]
    assert bundle["marks"] == []
    assert date.fromisoformat(bundle["made_at"][:10])


def test_a_bundle_that_the_phone_has_already_is_not_sent_again(manager):
    first = manager.get("/api/sites/small-links/holes/1/bundle")
    again = manager.get(
        "/api/sites/small-links/holes/1/bundle", headers={"if-none-match": first.headers["etag"]}
    )
    assert (again.status_code, again.content) == (304, b"")


def test_a_new_mark_makes_a_new_bundle(manager, send, mark):
    before = manager.get("/api/sites/small-links/holes/1/bundle")
    send(mark())
    after = manager.get(
        "/api/sites/small-links/holes/1/bundle", headers={"if-none-match": before.headers["etag"]}
    )
    assert after.status_code == 200
    assert [item["id"] for item in after.json()["marks"]] == [mark()["id"]]
