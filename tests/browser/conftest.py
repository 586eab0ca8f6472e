"""What the page tests measure against: designed points in latitude and longitude, and the records a server holds."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from urllib.request import urlopen

import pytest
from playwright.sync_api import Page

REPOSITORY = Path(__file__).parents[2]
LAYOUT = Path(__file__).with_name("layout.js").read_text(encoding="utf-8")


@cache
def _features(site: str) -> list[dict]:
    words = [sys.executable, "-m", "fieldapp", "points", f"sample_sites/{site}"]
    done = subprocess.run(words, cwd=REPOSITORY, capture_output=True, check=True)
    return json.loads(done.stdout)["features"]


@pytest.fixture(scope="session")
def points_of() -> Callable[..., dict[int, dict]]:
    """The designed points of a part of a sample bunker by number, from the command line: lat, lon, chainage_m."""

    def points(site: str, bunker: str, part: str = "sand edge") -> dict[int, dict]:
        return {
            feature["properties"]["number"]: {
                **feature["properties"],
                "lon": feature["geometry"]["coordinates"][0],
                "lat": feature["geometry"]["coordinates"][1],
            }
            for feature in _features(site)
            if (feature["properties"]["bunker"], feature["properties"]["part"]) == (bunker, part)
        }

    return points


@pytest.fixture(scope="session")
def load_samples() -> Callable[[Path], Path]:
    """A function that loads a sample site into a data folder and gives the folder back."""

    def load(data: Path) -> Path:
        words = [
            sys.executable,
            "-m",
            "fieldapp",
            "site",
            "load",
            "sample_sites/skerry-bank",
            "--data",
            str(data),
        ]
        subprocess.run(words, cwd=REPOSITORY, capture_output=True, check=True)
        return data

    return load


@pytest.fixture
def held() -> Callable[..., list[dict[str, str]]]:
    """A function that gives the records a server holds of a site and a person, as its CSV tells them."""

    def rows(address: str, site: str = "skerry-bank", person: str = "Robin") -> list[dict[str, str]]:
        with urlopen(f"{address}/sites/{site}/records.csv") as answer:
            found = csv.DictReader(io.StringIO(answer.read().decode("utf-8")))
            return [row for row in found if row["person"] == person]

    return rows


@pytest.fixture(scope="session")
def layout_faults() -> Callable[..., list[str]]:
    """What is wrong with a page's layout now: `layout_faults(page, least=56, targets='button')`; see layout.js."""

    def faults(page: Page, **options: object) -> list[str]:
        code = LAYOUT[LAYOUT.index("(options) =>") :]
        return page.evaluate(code, options)

    return faults
