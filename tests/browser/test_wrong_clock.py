"""A phone whose clock is two days off: its marks keep their time and their order, and the server says so."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import expect

SITE = "skerry-bank"
SENDING = "**/api/sites/*/records"
CLOCK = """(() => {
  const [Real, off] = [Date, %d];
  globalThis.Date = class extends Real {
    constructor(...given) { super(...(given.length ? given : [Real.now() + off])); }
    static now() { return Real.now() + off; }
  };
})()"""

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(
    ("days", "words", "bunker"), [(2, "2 days ahead of", "4-right"), (-2, "2 days behind", "4-old")]
)
def test_marks_of_a_wrong_clock_arrive_with_their_own_time_and_a_remark(
    demo, phone, held, days, words, bunker
):
    worker = phone(demo.address, is_kept=False)
    worker.context.add_init_script(CLOCK % (days * 86_400_000))
    worker.open(SITE, bunker)
    worker.start(person=bunker)
    worker.paint()
    worker.paint()
    expect(worker.sent).to_have_text("all sent")
    rows = held(demo.address, person=bunker)
    assert [row["number"] for row in rows] == ["1", "2"]
    made = datetime.fromisoformat(rows[0]["made_at"])
    assert abs(made - datetime.now(UTC) - timedelta(days=days)) < timedelta(minutes=5)
    assert all(
        re.search(rf"The phone's clock said .*, {words} the server's\.", row["remarks"]) for row in rows
    )


def test_a_clock_put_back_between_two_marks_leaves_them_in_their_order(demo, phone, held):
    worker = phone(demo.address, is_kept=False)
    worker.open(SITE, "5-green")
    worker.start(person="Back")
    worker.context.route(SENDING, lambda route: route.abort())
    worker.paint()
    worker.page.evaluate(CLOCK % (-2 * 86_400_000))
    worker.paint()
    expect(worker.page.get_by_role("button", name="Undo 2", exact=True)).to_be_enabled()
    worker.context.unroute(SENDING)
    worker.send_now()
    expect(worker.sent).to_have_text("all sent")
    first, second = held(demo.address, person="Back")
    assert (first["number"], second["number"]) == ("1", "2")
    assert first["made_at"] > second["made_at"]
