"""Settings from the environment."""

import re
from pathlib import Path

import pytest

import fieldapp
from fieldapp.errors import InputError
from fieldapp.formats.drawing import DrawingLimits
from fieldapp.settings import SETTINGS, FileLimits, is_this_machine, read_settings
from fieldapp.workflow.imports import drawing_limits


def test_every_name_that_the_code_reads_is_listed_with_its_help():
    package = Path(fieldapp.__file__).parent
    named = {
        name
        for module in package.rglob("*.py")
        for name in re.findall(r"FIELDAPP_[A-Z_]+", module.read_text("utf-8"))
    }
    assert named == {setting.name for setting in SETTINGS}
    assert all(setting.help for setting in SETTINGS)


def test_without_an_environment_the_defaults_hold():
    settings = read_settings({})
    assert (settings.data_dir, settings.host) == (Path("fieldapp-data"), "127.0.0.1")
    assert (settings.database_url, settings.hosts, settings.trust_this_machine) == ("", (), False)


def test_an_option_comes_before_the_environment():
    assert read_settings({"FIELDAPP_DATA": "a"}).data_dir == Path("a")
    assert read_settings({"FIELDAPP_DATA": "a"}, Path("b")).data_dir == Path("b")


def test_host_names_are_a_list_with_commas():
    assert read_settings({"FIELDAPP_HOSTS": "Club.example, ,tee.example"}).hosts == (
        "club.example",
        "tee.example",
    )


@pytest.mark.parametrize(
    ("host", "here"),
    [
        ("127.0.0.1", True),
        ("LOCALHOST", True),
        ("::1", True),
        ("0.0.0.0", False),
        ("club.lan", False),
        ("", False),
    ],
)
def test_only_loopback_is_this_machine(host, here):
    assert is_this_machine(host) is here


def test_the_defaults_in_words_are_those_that_hold():
    assert read_settings({}).files == FileLimits()


def test_limits_of_files_are_whole_numbers_and_reach_the_reader_of_drawings():
    given = {"FIELDAPP_IMPORT_POINTS": "7", "FIELDAPP_IMPORT_DXF_MB": "3", "FIELDAPP_BACKUP_MOST_MB": "9"}
    files = read_settings(given).files
    limits = DrawingLimits(**drawing_limits(files))
    assert (limits.most_points, limits.most_dxf_bytes, files.backup_bytes) == (7, 3_000_000, 9_000_000)
    for wrong in ("0", "-1", "1.5", "1e3", "many", "1000000"):
        with pytest.raises(InputError, match=r"FIELDAPP_BACKUP_FILES is .* give a whole number from 1 to"):
            read_settings({"FIELDAPP_BACKUP_FILES": wrong})
