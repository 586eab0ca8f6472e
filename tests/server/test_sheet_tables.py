"""Tables in columns: every row stands once, whole, under its head, and no column is over-full."""

from hypothesis import given
from hypothesis import strategies as st

from fieldapp.server.sheet_tables import (
    GAP_MM,
    ROW_MM,
    TITLE_MM,
    WORDS_LINE_MM,
    Head,
    Table,
    lines_of,
    pages_of,
    pour,
)

HEADS = (Head("point"), Head("x"))
WIDTH_MM = 120.0


def table(name, rows, notes=()):
    return Table(name, HEADS, tuple((f"{name} {row}", "1") for row in range(rows)), notes)


def height_mm(column):
    return sum(
        TITLE_MM
        + ROW_MM * (len(part.rows) + 1)
        + sum(lines_of(note, WIDTH_MM) * WORDS_LINE_MM + 0.5 for note in part.notes)
        for part in column
    ) + GAP_MM * (len(column) - 1)


@given(st.lists(st.integers(1, 90), min_size=1, max_size=8), st.floats(60.0, 400.0))
def test_every_row_stands_once_in_its_order_and_no_column_is_over_full(counts, room_mm):
    tables = [table(f"t{at}", count, ("a note",) * (at % 3)) for at, count in enumerate(counts)]
    columns = pour(tables, WIDTH_MM, room_mm)
    poured = [row for column in columns for part in column for row in part.rows]
    assert poured == [row for one in tables for row in one.rows]
    assert all(height_mm(column) <= room_mm + 1e-6 for column in columns)
    parts = [part for column in columns for part in column]
    assert all(part.rows and part.heads == HEADS for part in parts)
    for one in tables:
        mine = [part for part in parts if part.title == one.title]
        assert [part.goes_on for part in mine] == [False] + [True] * (len(mine) - 1)
        assert [part.notes for part in mine] == [one.notes] + [()] * (len(mine) - 1)


def test_a_table_does_not_begin_at_the_foot_of_a_column_with_a_row_or_two():
    columns = pour([table("a", 10), table("b", 10)], WIDTH_MM, TITLE_MM * 2 + GAP_MM + ROW_MM * 14.5)
    assert [[(part.title, len(part.rows)) for part in column] for column in columns] == [
        [("a", 10)],
        [("b", 10)],
    ]


def test_a_table_of_words_only_stands_too():
    (column,) = pour([Table("none", (), (), ("Nothing is drawn here.",))], WIDTH_MM, 100.0)
    assert column[0].notes == ("Nothing is drawn here.",)


def test_pages_take_so_many_columns_each():
    columns = pour([table("a", 30)], WIDTH_MM, TITLE_MM + ROW_MM * 11)
    assert [len(page) for page in pages_of(columns, 2)] == [2, 1]
