"""The whole application behind a real reverse proxy that shows it under a path: a crew comes in and marks a point."""

import csv
import io
import re
import signal
import subprocess
import sys
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

ROOT = "/course"
PROXY = Path(__file__).with_name("path_proxy.py")


@pytest.fixture
def under_a_path(start_server, load_samples, tmp_path):
    """A server and a proxy process in front of it: (the proxy's address with the path, the server)."""
    data = load_samples(tmp_path / "data")
    options = ("--proxy-headers", "--root-path", ROOT)
    server = start_server(data, "serve", 0, *options, FIELDAPP_HOSTS="course.example")
    words = [sys.executable, PROXY, server.address, ROOT]
    proxy = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
    yield proxy.stdout.readline().strip() + ROOT, server
    proxy.send_signal(signal.SIGINT)
    proxy.wait(timeout=20)
    proxy.stdout.close()


def test_a_crew_comes_in_and_a_mark_arrives(under_a_path, phone, points_of):
    address, server = under_a_path
    crew = phone(address)
    outside = crew.page.goto(f"{address}/sites/skerry-bank")
    assert outside.status == 401, "a visitor that a proxy passed on is not the manager"
    crew.enter(server.link())
    assert crew.page.url == f"{address}/"
    assert {cookie["path"] for cookie in crew.context.cookies()} == {ROOT, f"{ROOT}/enter"}

    crew.page.get_by_role("link", name="Skerry Bank").click()
    expect(crew.page).to_have_url(f"{address}/sites/skerry-bank")
    crew.page.wait_for_load_state()
    set_out = crew.page.get_by_role("link", name="Set out").first
    code = crew.page.locator(".qr img").first
    assert code.evaluate("image => image.complete && image.naturalWidth > 0")
    assert crew.page.evaluate("document.querySelector('link[rel=stylesheet]').sheet !== null")
    set_out.click()
    expect(crew.page).to_have_url(re.compile(f"^{re.escape(address)}/sites/skerry-bank/set-out/"))
    bunker = crew.page.url.rpartition("/")[2]

    point = points_of("skerry-bank", bunker)[1]
    crew.stand(point["lat"], point["lon"])
    crew.start(person="Robin")
    number = crew.paint()
    expect(crew.sent).to_have_text("all sent")
    held = csv.DictReader(
        io.StringIO(crew.context.request.get(f"{address}/sites/skerry-bank/records.csv").text())
    )
    assert [(row["person"], int(row["number"])) for row in held] == [("Robin", number)]


def test_the_trust_page_under_a_path_says_that_nothing_is_to_be_trusted(under_a_path, phone):
    address, _ = under_a_path
    page = phone(address).page
    page.goto(f"{address}/trust")
    expect(page.locator(".notice")).to_contain_text("no authority of its own")


def test_what_is_not_under_the_path_never_reaches_the_server(under_a_path):
    address, _ = under_a_path
    assert httpx.get(f"{address.removesuffix(ROOT)}/sites/skerry-bank").text == "not here"
