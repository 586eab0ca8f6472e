"""The yardage table of a hole: the same from a folder that is read as from a site that stands in a store."""

from datetime import UTC, datetime
from pathlib import Path

from fieldapp.formats.site_folder import load_checked_site
from fieldapp.formats.yardage_table import yardage_csv, yardage_json
from fieldapp.play.hole_yardages import AimLine
from fieldapp.workflow.hole_table import hole_table, standing_table
from fieldapp.workflow.sites import load_site, standing_site

SAMPLE = Path(__file__).parents[2] / "sample_sites" / "vindeloga"
AIM = AimLine(200.0, -12.0)


def test_a_site_that_stands_has_the_table_of_its_folder(store):
    load_site(store, SAMPLE, datetime(2026, 5, 1, 8, 0, tzinfo=UTC))
    standing = standing_site(store, "vindeloga")
    read = hole_table(*load_checked_site(SAMPLE), 7, AIM, 8.0)
    stands = standing_table(standing, standing.site.hole(7), AIM, 8.0)
    assert yardage_json(stands) == yardage_json(read)
    assert list(yardage_csv(stands)) == list(yardage_csv(read))
    assert len(read.rows) > 1
