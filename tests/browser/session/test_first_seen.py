"""Which draft the board opens: what was kept here and never sent, the very save that was, or the server's."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

RUN = """async (m, { kept, answer }) => {
  const { createHistory } = await import('/desk/draft/history.js');
  const doc = (name) => ({ bunker: { id: 'egg', name }, outlines: [] });
  const told = { person: '', changes: [], remarks: [], ...answer, draft: answer.name && doc(answer.name) };
  globalThis.fetch = async () => new Response(JSON.stringify(told));
  const local = { read: async () => ({ ...kept, steps: createHistory(doc(kept.name)).save(), pending: null }) };
  const seen = await m.firstSeen({ local, bunker: 'egg', address: '/draft' });
  return seen.words ?? [seen.history.doc.bunker.name, seen.number, seen.isSent];
}"""


@pytest.mark.parametrize(
    ("kept", "answer", "opened"),
    [
        (("old", 2, True), ("new", 2, "given up"), ["new", 2, True]),
        (("old", 0, True), ("new", 0, None), ["new", 0, True]),
        (("old", 2, True), ("new", 3, "open"), ["new", 3, True]),
        (("old", 2, True), ("as the server writes it", 2, "open"), ["old", 2, True]),
        (("mine", 2, False), ("new", 2, "open"), ["mine", 2, False]),
        (("mine", 2, False), ("new", 3, "open"), ["mine", 2, False]),
        (("mine", 2, False), ("mine", 3, "open"), ["mine", 3, True]),
        (("mine", 1, False), (None, 2, "given up"), ["mine", 1, False]),
    ],
)
def test_which_draft_is_opened(ask, kept, answer, opened):
    given = {
        "kept": dict(zip(("name", "number", "isSent"), kept, strict=True)),
        "answer": dict(zip(("name", "number", "state"), answer, strict=True)),
    }
    assert ask("first_seen", RUN, given, room="desk") == opened
