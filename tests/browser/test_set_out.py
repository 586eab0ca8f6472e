"""The main job, end to end: a real server process, a real browser, emulated positions, and the record at the end."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import expect

from fieldapp.formats.site_folder import load_checked_site

SITE, BUNKER = "skerry-bank", "4-right"
REPOSITORY = Path(__file__).parents[2]

pytestmark = pytest.mark.browser


def run(*words: str) -> str:
    """Run the command line in a process of its own and return what it prints."""
    done = subprocess.run(
        [sys.executable, "-m", "fieldapp", *words], cwd=REPOSITORY, capture_output=True, text=True, check=True
    )
    return done.stdout


@pytest.fixture(scope="module")
def targets() -> dict[int, dict]:
    """The designed sand-edge points of the bunker by number, from the command line."""
    found = json.loads(run("points", f"sample_sites/{SITE}", "--bunker", BUNKER))
    return {
        feature["properties"]["number"]: {
            "lon": feature["geometry"]["coordinates"][0],
            "lat": feature["geometry"]["coordinates"][1],
            **feature["properties"],
        }
        for feature in found["features"]
        if feature["properties"]["part"] == "sand edge"
    }


def records_of(data: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(run("records", "--data", str(data), "--site", SITE))))


def wait_until_sent(phone) -> None:
    expect(phone.page.locator(".head-send")).to_contain_text("all sent")


@pytest.fixture(scope="module")
def grid():
    """The site's course grid, from its folder."""
    return load_checked_site(REPOSITORY / "sample_sites" / SITE)[1]


def test_five_points_are_painted_with_a_centimetre_receiver_and_held_to_the_millimetre(
    start_server, phone, targets, grid
):
    server = start_server()
    worker = phone(server.address)
    worker.open(SITE, BUNKER)
    worker.start()
    painted = []
    for _ in range(5):
        number = _first_target(worker) if not painted else worker.target_number()
        target = targets[number]
        worker.stand(target["lat"] + 1.8e-7, target["lon"] - 2e-7, accuracy=0.02)
        worker.expect_verdict("inside")
        worker.main_button.click()
        painted.append(number)
        expect(worker.main_button).not_to_contain_text(f"Painted {number}", timeout=5000)
        expect(worker.main_button).to_contain_text("Painted")
    wait_until_sent(worker)

    held = records_of(server.data)
    assert [int(row["number"]) for row in held] == painted
    for row in held:
        target = targets[int(row["number"])]
        assert float(row["lat_deg"]) == pytest.approx(target["lat"] + 1.8e-7, abs=1e-12)
        assert float(row["target_x_m"]) == pytest.approx(target["x"], abs=0.001)
        assert float(row["target_y_m"]) == pytest.approx(target["y"], abs=0.001)
        # 1.8e-7 deg of latitude is 20.0 mm; 2e-7 deg of longitude at 53.6 N is 13.2 mm; together 24.0 mm off.
        assert float(row["off_m"]) == pytest.approx(0.0240, abs=0.001)
        where = grid.to_course([float(row["lon_deg"]), float(row["lat_deg"])])
        assert float(row["course_x_m"]) == pytest.approx(where[0], abs=0.001)
        assert float(row["course_y_m"]) == pytest.approx(where[1], abs=0.001)
        # 20.0 mm north and 13.2 mm west on a grid whose y axis points 12 degrees east of north.
        assert float(row["course_x_m"]) - target["x"] == pytest.approx(-0.0171, abs=0.001)
        assert float(row["course_y_m"]) - target["y"] == pytest.approx(0.0168, abs=0.001)
        assert (row["verdict"], row["practice"], row["person"]) == ("inside", "false", "Robin")

    desk = worker.context.new_page()
    desk.goto(f"{server.address}/sites/{SITE}")
    expect(desk.locator(f"#bunker-{BUNKER} tr[data-mark]")).to_have_count(5)
    first = desk.locator(f"#bunker-{BUNKER} tr[data-mark]").first
    for words in ("on the mark", "0.02 m", "0.03 m", "Robin"):
        expect(first).to_contain_text(words)


def _first_target(worker) -> int:
    worker.stand(53.6, -5.0, accuracy=0.02)
    expect(worker.main_button).to_contain_text("Painted")
    return worker.target_number()


def test_a_four_metre_receiver_cannot_tell_and_its_mark_is_held_and_says_so(start_server, phone, targets):
    server = start_server()
    worker = phone(server.address)
    worker.open(SITE, BUNKER)
    worker.start()
    number = _first_target(worker)
    worker.stand(targets[number]["lat"], targets[number]["lon"], accuracy=4.0)
    worker.expect_verdict("cannot tell")
    expect(worker.page.locator(".verdict")).to_contain_text("tell")
    worker.main_button.click()
    if f"Painted {number}" in worker.main_button.inner_text():
        worker.main_button.click()
    wait_until_sent(worker)
    (row,) = records_of(server.data)
    assert (int(row["number"]), row["verdict"]) == (number, "cannot tell")
    assert float(row["accuracy_m"]) == 4.0
    assert float(row["radius95_m"]) == pytest.approx(4.0 * 1.6215, abs=0.001)
    desk = worker.context.new_page()
    desk.goto(f"{server.address}/sites/{SITE}")
    expect(desk.locator(f"#bunker-{BUNKER} tr[data-mark]")).to_contain_text("cannot tell")
