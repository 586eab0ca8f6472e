"""A site being made: its tables kept as they are, and what they still lack in words and in order."""

from decimal import Decimal

import pytest

from fieldapp.errors import FormatError
from fieldapp.formats.site_draft import (
    SiteDraft,
    begin_tables,
    draft_text,
    has_coordinates,
    id_from,
    read_site_draft,
    tables_of,
)
from fieldapp.formats.site_folder import check_site, site_text
from fieldapp.formats.site_lacks import lacks_of
from tests.conftest import REPOSITORY

SAMPLES = sorted(path.parent for path in (REPOSITORY / "sample_sites").glob("*/site.toml"))
GRID = {"kind": "local", "origin_lat_deg": Decimal("57.2"), "origin_lon_deg": Decimal("-9.4")}
HOLE = {"number": 1, "name": "First", "green": [Decimal(0), Decimal(350)]}
TEE = {"id": "1-white", "hole": 1, "name": "White", "x": Decimal(0), "y": Decimal(0)}
WHOLE = begin_tables("heather", "Heather") | {"grid": GRID, "hole": [HOLE], "tee": [TEE]}


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_a_sample_goes_through_a_draft_unchanged_and_lacks_nothing(folder):
    text = site_text(check_site(folder))
    draft = read_site_draft(draft_text(SiteDraft(tables_of(text), 7)))
    assert draft == SiteDraft(tables_of(text), 7)
    assert lacks_of(draft.tables) == ()
    assert has_coordinates(draft.tables)


def without(kind, **changes):
    """The whole site with the first row of a table changed; None takes a key away."""
    row = {key: value for key, value in {**WHOLE[kind][0], **changes}.items() if value is not None}
    return WHOLE | {kind: [row]}


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        (begin_tables("a", ""), [("facts", None), ("grid", None), ("holes", None)]),
        (WHOLE | {"grid": {"kind": "local"}}, [("grid", None)]),
        (WHOLE | {"grid": {"kind": "projected"}}, [("grid", None)]),
        (
            WHOLE | {"grid": {"kind": "fitted"}, "peg": [{"id": "p", "kind": "control"}]},
            [("pegs", None), ("pegs", 0)],
        ),
        (without("hole", green=None), [("holes", 0)]),
        (without("tee", x=None), [("tees", 0)]),
        (without("tee", hole=2), [("tees", None)]),
        (WHOLE | {"grid": GRID | {"origin_lat_deg": Decimal(95)}}, [("grid", None)]),
        (without("tee", y=Decimal(19_000)), [("tees", 0)]),
        (WHOLE, []),
    ],
)
def test_what_is_missing_is_told_in_order_with_its_place(tables, told):
    found = lacks_of(tables)
    assert [(lack.part, lack.index) for lack in found] == told
    for lack in found:
        assert lack.words.endswith(".")
        assert "site.toml" not in lack.words


def test_ids_are_made_of_names():
    assert [id_from(name) for name in ("Great Bank, West", "  Ärger & Söhne ", "ΓΛ", "x" * 90)] == [
        "great-bank-west",
        "arger-sohne",
        "",
        "x" * 40,
    ]


def test_another_kind_of_draft_is_refused():
    with pytest.raises(FormatError, match="another kind or version"):
        read_site_draft('{"format": "fieldapp-draft", "version": 1}')
    with pytest.raises(FormatError, match="begin it anew"):
        read_site_draft('{"format": "fieldapp-site-draft", "version": 1, "from_version": null, "text": "["}')
