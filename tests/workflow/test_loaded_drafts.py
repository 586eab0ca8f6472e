"""A site changed on its pages while bunkers of it are drawn and issued."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from fieldapp.errors import ConflictError
from fieldapp.model import Plan
from fieldapp.workflow.draft_issue import Signing, issue_draft
from fieldapp.workflow.site_drafts import OpenedAt, load_draft, save_part
from fieldapp.workflow.site_drafts import draft_of as site_draft
from fieldapp.workflow.sites import standing_site
from tests.bunker_drafts import SQUARE, draft_of, moved, save

SITE = "small-links"
AT = datetime(2026, 6, 2, 9, 0, tzinfo=UTC)


def test_a_tee_that_a_bunker_issued_meanwhile_is_planned_from_does_not_go(store):
    tables = site_draft(store, SITE).tables
    second = dict(tables["tee"][0]) | {"id": "blue", "name": "Blue"}
    save_part(store, SITE, ("tee",), tables | {"tee": [*tables["tee"], second]}, OpenedAt(0, 1), "Kim", AT)
    load_draft(store, SITE, 1, "Kim", AT)
    save_part(store, SITE, ("tee",), tables, OpenedAt(2, 2), "Kim", AT)
    drawn = draft_of(moved(SQUARE, 60.0), "new", name="New", grew_from=None)
    planned = replace(drawn.bunker, plan=Plan(tee="blue", tolerance_m=1.0))
    save(store, SITE, replace(drawn, bunker=planned))
    issue_draft(store, SITE, "new", Signing(1, "A", "Kim", "wanted", frozenset()), AT)
    before = standing_site(store, SITE).document
    with pytest.raises(ConflictError, match=r"The site cannot be loaded: .*blue"):
        load_draft(store, SITE, 3, "Kim", AT)
    assert standing_site(store, SITE).document == before
