"""Wrong use: one clear line on standard error, exit 2, never a traceback."""

import subprocess
import sys
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parent.parent.parent
WRONG = {
    "no command": ((), "command"),
    "an unknown command": (("paint",), "paint"),
    "an unknown option": (("points", "{site}", "--colour", "red"), "--colour"),
    "site without a verb": (("site",), "command"),
    "an unknown verb": (("site", "drop", "{site}"), "drop"),
    "check without a folder": (("site", "check"), "SITE_DIR"),
    "check of two folders": (("site", "check", "{site}", "{site}"), "argument"),
    "a folder that is not there": (("site", "check", "nowhere"), "nowhere"),
    "a folder that is a file": (("site", "check", "{site}/site.toml"), "site.toml"),
    "an empty folder": (("site", "check", "{empty}"), "site.toml"),
    "points of a folder that is not there": (("points", "nowhere"), "nowhere"),
    "points of an unknown bunker": (("points", "{site}", "--bunker", "gone"), "square, egg"),
    "load without data": (("site", "load", "{site}"), "--data"),
    "load into a file": (("site", "load", "{site}", "--data", "{site}/site.toml"), "site.toml"),
    "yardage without a tee": (("yardage", "{site}", "--at", "57.2,-9.4"), "--tee"),
    "yardage without a place": (("yardage", "{site}", "--tee", "white"), "--at"),
    "yardage without a value": (("yardage", "{site}", "--tee", "white", "--at"), "--at"),
    "an unknown tee": (("yardage", "{site}", "--tee", "blue", "--at", "57.2,-9.4"), "white"),
    "half a place": (("yardage", "{site}", "--tee", "white", "--at", "57.2"), "LAT,LON"),
    "a place in words": (("yardage", "{site}", "--tee", "white", "--at", "here,there"), "LAT,LON"),
    "a place of three numbers": (("yardage", "{site}", "--tee", "white", "--at", "57.2,-9.4,3"), "LAT,LON"),
    "a place that is no number": (("yardage", "{site}", "--tee", "white", "--at", "nan,nan"), "nan"),
    "a place the wrong way round": (("yardage", "{site}", "--tee", "white", "--at", "-9.4,57.2"), "swapped"),
    "a place in another ocean": (("yardage", "{site}", "--tee", "white", "--at", "-39.9,145.5"), "km from"),
    "a place off the earth": (("yardage", "{site}", "--tee", "white", "--at", "157.2,-9.4"), "157.2"),
    "a hole in words": (
        ("yardage", "{site}", "--hole", "abc"),
        "'abc' is no hole; give its number, such as 4.",
    ),
    "a hole below nothing": (("yardage", "{site}", "--hole", "-4"), "'-4' is no hole; give its number"),
    "a hole of figures that are none": (("yardage", "{site}", "--hole", "٣"), "is no hole; give its number"),
    "records without data": (("records",), "--data"),
    "records of a folder that is not there": (("records", "--data", "nowhere"), "no fieldapp data"),
    "records in another format": (("records", "--data", "{empty}", "--format", "xml"), "xml"),
    "records of a folder without data": (("records", "--data", "{empty}"), "no fieldapp data"),
    "serve without data": (("serve",), "--data"),
    "a port in words": (("serve", "--data", "{empty}", "--port", "http"), "http"),
    "a port too high": (("demo", "--port", "70000"), "70000"),
    "a port below nothing": (("demo", "--port", "-1"), "-1"),
    "an address that is none": (("serve", "--data", "{empty}", "--host", "no.such.host.invalid"), "--host"),
    "an address of somewhere else": (
        ("serve", "--data", "{empty}", "--host", "192.0.2.1", "--port", "0"),
        "192.0.2.1",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_wrong_use_is_one_clear_line_and_exit_2(fieldapp, folder, tmp_path, name):
    arguments, word = WRONG[name]
    (tmp_path / "empty").mkdir()
    done = fieldapp(*(text.format(site=folder, empty=tmp_path / "empty") for text in arguments))
    assert (done.code, done.out) == (2, ""), done.err
    (line,) = done.err.splitlines()
    assert line.startswith("fieldapp: ")
    assert word in line
    assert "Traceback" not in line


def test_wrong_use_leaves_no_data_behind(fieldapp, tmp_path):
    fieldapp("records", "--data", "nowhere")
    assert not (tmp_path / "nowhere").exists()


def test_records_of_an_unknown_site_name_those_there_are(fieldapp, folder, tmp_path):
    fieldapp("site", "load", folder, "--data", tmp_path / "data")
    done = fieldapp("records", "--data", tmp_path / "data", "--site", "heath")
    assert (done.code, done.out) == (2, "")
    assert "small-links" in done.err


def test_a_port_in_use_is_said_so(fieldapp, tmp_path):
    from fieldapp.server.serving import bound_socket

    with bound_socket("127.0.0.1", 0) as taken:
        port = taken.getsockname()[1]
        done = fieldapp("demo", "--port", port)
    assert done.code == 2
    (line,) = done.err.splitlines()
    assert str(port) in line
    assert "--port" in line
    assert not (tmp_path / "fieldapp-data").exists()


def test_a_database_address_that_cannot_be_used_is_said_so(fieldapp, tmp_path, monkeypatch):
    monkeypatch.setenv("FIELDAPP_DATABASE_URL", "nonsense")
    done = fieldapp("records", "--data", tmp_path)
    assert (done.code, "FIELDAPP_DATABASE_URL" in done.err) == (2, True)


def test_an_unexpected_fault_is_one_line_without_a_traceback(fieldapp, folder, monkeypatch):
    def fails(*_):
        raise ZeroDivisionError("by\nnought")

    monkeypatch.setattr("fieldapp.cli.load_checked_site", fails)
    done = fieldapp("points", folder)
    assert done.code == 1
    assert done.err == (
        "fieldapp: unexpected fault: ZeroDivisionError: by nought (run with FIELDAPP_DEBUG=1 for details)\n"
    )


def test_for_whoever_looks_for_the_fault_the_traceback_is_shown(fieldapp, folder, monkeypatch):
    def fails(*_):
        raise ZeroDivisionError

    monkeypatch.setattr("fieldapp.cli.load_checked_site", fails)
    monkeypatch.setenv("FIELDAPP_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        fieldapp("points", folder)


def test_the_process_exits_with_2_and_one_line(process):
    done = process("site", "check", "nowhere")
    assert (done.code, done.out) == (2, "")
    assert len(done.err.splitlines()) == 1


def test_a_reader_that_goes_away_causes_no_traceback(folder):
    with subprocess.Popen(
        [sys.executable, "-m", "fieldapp", "points", str(folder)],
        cwd=REPOSITORY,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as writing:
        assert writing.stdout is not None
        assert writing.stderr is not None
        writing.stdout.close()
        assert writing.stderr.read() == ""
