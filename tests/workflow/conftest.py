"""A store that holds the small site."""

import shutil
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from fieldapp.workflow.sites import load_site, standing_site
from tests.field_records import FIX, batch_of, mark_document

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)
SMALL_SITE = Path(__file__).parent / "small_site"


@pytest.fixture
def folder(tmp_path):
    """A copy of the small site's folder, to be changed at will."""
    return Path(shutil.copytree(SMALL_SITE, tmp_path / "small_site"))


@pytest.fixture
def change(folder):
    """Changes the site file: one text for another."""

    def changed(old, new, count=1):
        file = folder / "site.toml"
        text = file.read_text()
        assert old in text
        file.write_text(text.replace(old, new, count))

    return changed


@pytest.fixture(scope="session")
def small_data(tmp_path_factory):
    """A data folder that holds the small site, to be copied: making it takes longer than most tests."""
    data = tmp_path_factory.mktemp("small")
    with closing(open_store(Settings(data_dir=data))) as store:
        load_site(store, SMALL_SITE, NOON)
    return data


@pytest.fixture
def store(tmp_path, small_data):
    opened = open_store(Settings(data_dir=Path(shutil.copytree(small_data, tmp_path / "data"))))
    yield opened
    opened.close()


@pytest.fixture
def standing(store):
    return standing_site(store, "small-links")


@pytest.fixture
def mark(standing):
    """Makes a mark of a real paint point as a phone would, its position so many ground metres east of it."""

    def made(number=1, bunker="square", revision="A", east_m=0.0, **changes):
        points = standing.outline_points(bunker, "A")["sand"]
        x, y = points[(number - 1) % len(points)]
        lon, lat = standing.grid.to_gnss([x + east_m, y])
        target = {"bunker": bunker, "number": number, "revision": revision, "x": float(x), "y": float(y)}
        fix = FIX | {"lat_deg": float(lat), "lon_deg": float(lon), "accuracy_m": 0.01, "radius95_m": 0.016}
        whole = mark_document(number, fix=fix, off_m=abs(east_m), verdict="inside")
        whole["target"] |= target
        return whole | changes

    return made


@pytest.fixture
def batch():
    return batch_of
