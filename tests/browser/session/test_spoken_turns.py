"""Turns at a bunker where a page has no locks: never two tabs at once, and none waits for one that is gone."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

RUN = """async (_, body) => {
  const heard = [];
  const open = async (tab, name, isDead = false) => {
    const frame = document.body.appendChild(document.createElement('iframe'));
    frame.src = '/blank';
    await new Promise((done) => { frame.onload = done; });
    const later = frame.contentWindow.setTimeout;
    frame.contentWindow.setTimeout = (work, ms, ...given) => later(work, ms / 5, ...given);
    const m = await frame.contentWindow.eval("import('/desk/post/turns.js')");
    const tell = (what) => async () => { heard.push(`${tab} ${what}`); };
    const handOver = isDead ? () => new Promise(() => {}) : tell('hands over');
    const turns = m.createTurns({ name, gained: tell('gained'), lost: tell('lost'), handOver });
    return { ...turns, close: () => frame.remove() };
  };
  const until = async (words) => { while (!heard.includes(words)) await new Promise((done) => setTimeout(done, 20)); };
  return { ...(await eval(body)({ open, until })), heard, isLocked: navigator.locks !== undefined };
}"""


def told(ask, body):
    found = ask("turns", RUN, f"async ({{ open, until }}) => {{ {body} }}", room="desk/post")
    assert not found["isLocked"]
    return found


def test_one_tab_has_the_turn_another_asks_for_it_and_a_closed_one_leaves_it(ask):
    found = told(
        ask,
        """const [a, b, c] = [await open('a', 'one'), await open('b', 'one'), await open('c', 'one')];
        const first = [await a.claim(), await b.claim(), await c.claim()];
        b.ask(); await until('b gained');
        b.close(); await Promise.race([until('a gained'), until('c gained')]);
        await new Promise((done) => setTimeout(done, 500));
        return { first };""",
    )
    assert found["first"] == [True, False, False]
    assert found["heard"][:3] == ["a hands over", "a lost", "b gained"]
    assert len(found["heard"]) == 4  # of the two that waited one has it


def test_of_two_that_ask_at_once_one_has_the_turn_and_one_that_does_not_answer_loses_it(ask):
    found = told(
        ask,
        """const [a, b] = [await open('a', 'two', true), await open('b', 'two', true)];
        const both = await Promise.all([a.claim(), b.claim()]);
        const [has, waits] = both[0] ? ['a', 'b'] : ['b', 'a'];
        ({ a, b })[waits].ask(); await until(`${has} lost`);
        return { both: both.sort(), has, waits };""",
    )
    assert found["both"] == [False, True]
    assert sorted(found["heard"]) == sorted([f"{found['waits']} gained", f"{found['has']} lost"])
