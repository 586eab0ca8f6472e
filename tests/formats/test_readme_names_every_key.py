"""README's list of a site file's keys is whole: every key that is asked for while the samples are read stands in it."""

import re

import pytest

from fieldapp.formats.site_folder import load_site
from fieldapp.formats.site_table import Table
from tests.conftest import REPOSITORY

SAMPLES = sorted((REPOSITORY / "sample_sites").iterdir())


def keys_of_readme():
    """Words in code marks of the section on site folders."""
    section = (REPOSITORY / "README.md").read_text().split("## A site folder")[1].split("\n## ")[0]
    return set(re.findall(r"[a-z_]+", " ".join(re.findall(r"`([^`]*)`", section))))


@pytest.fixture(name="asked")
def _asked(monkeypatch):
    """Every key asked for; a length by its name without a unit."""
    asked = set()
    end = Table.end

    def noted(table):
        lengths = table._lengths
        asked.update(lengths, (key for key in table._asked if key.rpartition("_")[0] not in lengths))
        end(table)

    monkeypatch.setattr(Table, "end", noted)
    return asked


def test_every_key_stands_in_the_list(asked):
    for sample in SAMPLES:
        load_site(sample)
    assert {"turning_points", "waist", "ground_height", "max_residual", "skew_deg", "accept_error"} <= asked
    assert sorted(asked - keys_of_readme()) == []
