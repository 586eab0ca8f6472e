"""The marks of the points on the drawing board, for every browser test that takes hold of one."""

from __future__ import annotations

from playwright.sync_api import Page

MARKS = """() => {
  const [rest, chosen] = document.querySelectorAll('#sheet path.board-points');
  const found = /M([-\\d.]+) ([-\\d.]+)/g;
  const middles = (path) => [...path.getAttribute('d').matchAll(found)].map(([, x, y]) => [Number(x), Number(y)]);
  const {x, y} = document.getElementById('sheet').getBoundingClientRect();
  const marks = middles(rest);
  const places = middles(chosen);
  const held = chosen.dataset.at.split(' ').filter(Boolean).map((at, turn) => [Number(at), places[turn]]);
  held.sort(([a], [b]) => a - b).forEach(([at, middle]) => marks.splice(at, 0, middle));
  return marks.map(([px, py]) => [x + px, y + py]);
}"""


def marks_of(page: Page) -> list[list[float]]:
    """Return the middles of the marks of all points of the outline in hand, chosen or not, pixels of the page."""
    page.locator("#sheet path.board-points.chosen").wait_for(state="attached")
    return list(page.evaluate(MARKS))


def mark_of(page: Page, number: int) -> tuple[float, float]:
    """Return the middle of a point's mark; points are counted from 1."""
    x, y = marks_of(page)[number - 1]
    return x, y


def count_of_marks(page: Page) -> int:
    """Return how many points are marked on the sheet."""
    return len(marks_of(page))
