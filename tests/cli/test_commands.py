"""The commands that read a folder or the data and write to standard output."""

import csv
import io
import json
import re
from contextlib import closing
from datetime import UTC, datetime

import numpy as np
import pytest

from fieldapp.formats.site_folder import load_site
from fieldapp.geodesy.grid import build_grid
from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from tests.field_records import accept_records, mark_document

MARK = mark_document()


def test_check_of_a_good_folder_says_what_is_in_it(fieldapp, folder):
    done = fieldapp("site", "check", folder)
    assert (done.code, done.err) == (0, "")
    assert "small-links" in done.out
    assert "1 hole, 1 tee, 1 peg, 2 bunkers, 61 paint points" in done.out


def test_check_reports_every_mistake_on_a_line_of_its_own(fieldapp, folder):
    file = folder / "site.toml"
    text = (
        file.read_text()
        .replace("spacing_m = 1.0", "spacing_m = -1.0")
        .replace("length_m = 12.0", "longness = 12.0")
    )
    file.write_text(text)
    done = fieldapp("site", "check", folder)
    assert (done.code, done.out) == (2, "")
    assert len(done.err.splitlines()) >= 2
    assert "spacing_m" in done.err
    assert "longness" in done.err


def test_load_puts_a_site_into_the_data_folder_once(fieldapp, folder, tmp_path):
    first = fieldapp("site", "load", folder, "--data", tmp_path / "data")
    assert (first.code, "is loaded" in first.out) == (0, True)
    again = fieldapp("site", "load", folder, "--data", tmp_path / "data")
    assert (again.code, "nothing was changed" in again.out) == (0, True)


def test_points_are_geojson_with_ten_decimals_longitude_first(fieldapp, folder):
    done = fieldapp("points", folder)
    document = json.loads(done.out)
    assert document["type"] == "FeatureCollection"
    coordinates = re.findall(r'"coordinates":\[([^\]]+)\]', done.out)
    assert len(coordinates) == len(document["features"]) > 30
    assert all(re.fullmatch(r"-9\.\d{10},57\.\d{10}", pair) for pair in coordinates)


def test_points_say_which_they_are_and_where_on_the_course(fieldapp, folder):
    features = json.loads(fieldapp("points", folder).out)["features"]
    square = [feature["properties"] for feature in features if feature["properties"]["bunker"] == "square"]
    assert {"bunker", "part", "number", "x", "y", "chainage_m"} <= set(square[0])
    assert [point["number"] for point in square] == list(range(1, 17))
    assert square[0]["part"] == "sand edge"
    assert np.allclose([point["chainage_m"] for point in square], np.arange(16.0), atol=1e-4)


def test_points_lie_on_the_grid_to_a_tenth_of_a_millimetre(fieldapp, folder):
    site = load_site(folder)
    grid = build_grid(site.grid, site.pegs)
    features = json.loads(fieldapp("points", folder).out)["features"]
    lonlat = np.array([feature["geometry"]["coordinates"] for feature in features])
    xy = [(feature["properties"]["x"], feature["properties"]["y"]) for feature in features]
    assert np.abs(grid.to_course(lonlat) - xy).max() < 1e-4


def test_points_of_one_bunker_are_only_its_own(fieldapp, folder):
    features = json.loads(fieldapp("points", folder, "--bunker", "egg").out)["features"]
    assert {feature["properties"]["bunker"] for feature in features} == {"egg"}


def test_yardage_is_json_in_metres_and_yards(fieldapp, folder):
    found = json.loads(fieldapp("yardage", folder, "--tee", "white", "--at", "57.203,-9.399").out)
    assert set(found) == {"straight_m", "along_m", "offset_m", "straight_yd", "along_yd", "offset_yd"}
    for name in ("straight", "along", "offset"):
        assert found[f"{name}_yd"] * 0.9144 == pytest.approx(found[f"{name}_m"], abs=1e-3)
    assert found["straight_m"] ** 2 == pytest.approx(found["along_m"] ** 2 + found["offset_m"] ** 2, rel=1e-6)


def test_yardage_takes_a_southern_place_after_the_option(fieldapp, folder):
    file = folder / "site.toml"
    file.write_text(file.read_text().replace("origin_lat_deg = 57.2", "origin_lat_deg = -39.9"))
    done = fieldapp("yardage", folder, "--tee", "white", "--at", "-39.898,-9.4")
    assert (done.code, done.err) == (0, "")
    assert json.loads(done.out)["straight_m"] == pytest.approx(222.08, abs=0.5)


def test_records_of_a_site_without_any_are_a_line_of_names(fieldapp, folder, tmp_path):
    fieldapp("site", "load", folder, "--data", tmp_path / "data")
    done = fieldapp("records", "--data", tmp_path / "data", "--site", "small-links")
    assert list(csv.DictReader(io.StringIO(done.out))) == []
    assert done.out.startswith("sequence,id,kind,site,hole,")


def test_records_as_geojson_are_a_collection(fieldapp, folder, tmp_path):
    fieldapp("site", "load", folder, "--data", tmp_path / "data")
    done = fieldapp("records", "--data", tmp_path / "data", "--format", "geojson")
    assert json.loads(done.out) == {"type": "FeatureCollection", "features": []}


def test_the_data_folder_may_come_from_the_environment(fieldapp, folder, tmp_path, monkeypatch):
    monkeypatch.setenv("FIELDAPP_DATA", str(tmp_path / "data"))
    assert fieldapp("site", "load", folder).code == 0
    assert fieldapp("records").code == 0


def test_help_names_every_command(fieldapp):
    done = fieldapp("--help")
    assert done.code == 0
    assert all(verb in done.out for verb in ("demo", "serve", "site", "points", "yardage", "records"))


def test_the_package_runs_as_a_module(process, folder):
    done = process("points", folder, "--bunker", "square")
    assert (done.code, done.err) == (0, "")
    assert len(json.loads(done.out)["features"]) == 16


def test_a_changed_sample_does_not_keep_the_demo_from_starting_where_it_was_marked(
    fieldapp, folder, tmp_path, monkeypatch
):
    monkeypatch.setattr("fieldapp.cli.sample_site_folders", lambda: (folder,))
    monkeypatch.setattr("fieldapp.server.serving.serve", lambda *_: None)
    assert "Loaded" in fieldapp("demo", "--port", "0", "--data", tmp_path / "data").out
    with closing(open_store(Settings(data_dir=tmp_path / "data"))) as store:
        batch = {"format": "fieldapp-records", "version": 1, "records": [MARK]}
        assert accept_records(store, "small-links", batch, datetime(2026, 5, 1, 12, tzinfo=UTC)).stored
    file = folder / "site.toml"
    file.write_text(file.read_text().replace("[1020.0, 2200.0]", "[1020.0, 2200.1]"))
    done = fieldapp("demo", "--port", "0", "--data", tmp_path / "data")
    assert (done.code, "stays as it was loaded before" in done.out) == (0, True)


def test_the_standing_site_is_written_out_and_nothing_there_is_overwritten(fieldapp, folder, tmp_path):
    data, out = tmp_path / "data", tmp_path / "out"
    fieldapp("site", "load", folder, "--data", data)
    done = fieldapp("site", "write", "small-links", out, "--data", data)
    assert (done.code, "is written into" in done.out) == (0, True)
    assert load_site(out) == load_site(folder)
    again = fieldapp("site", "write", "small-links", out, "--data", data)
    assert (again.code, "nothing is overwritten" in again.err) == (2, True)
    stranger = fieldapp("site", "write", "nowhere", tmp_path / "other", "--data", data)
    assert (stranger.code, "no site called 'nowhere'" in stranger.err) == (2, True)
