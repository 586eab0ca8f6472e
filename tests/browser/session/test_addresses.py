"""The addresses of a site, told from the page's own path."""

import pytest

pytestmark = pytest.mark.browser

TELL = "(m, path) => { const a = m.addressesOf(path); return a && {...a, setOut: a.setOut('b')}; }"


@pytest.mark.parametrize("root", ["", "/course", "/sites/deep/field"])
def test_a_set_out_page_knows_its_site_and_bunker_and_what_lies_before_them(ask, root):
    found = ask("addresses", TELL, f"{root}/sites/skerry-bank/set-out/4-right")
    assert (found["root"], found["site"], found["bunker"]) == (root, "skerry-bank", "4-right")
    assert found["field"] == f"{root}/field/skerry-bank"
    assert found["index"] == f"{root}/api/sites/skerry-bank/field"
    assert found["records"] == f"{root}/api/sites/skerry-bank/records"
    assert (found["worker"], found["scope"]) == (f"{root}/sw.js", f"{root}/")


def test_a_field_page_knows_its_site_and_leads_to_every_bunker(ask):
    found = ask("addresses", TELL, "/course/field/skerry-bank")
    assert (found["site"], found["bunker"]) == ("skerry-bank", None)
    assert found["setOut"] == "/course/sites/skerry-bank/set-out/b"
    assert found["manifest"] == "/course/manifest.webmanifest?site=skerry-bank"


@pytest.mark.parametrize("path", ["/", "/sites/skerry-bank", "/sites/a/set-out/", "/field/a/b"])
def test_another_page_is_neither(ask, path):
    assert ask("addresses", TELL, path) is None
