"""The kept draft: a storage that fails is asked again, and what could not be read is never written over."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

RUN = """async (m, body) => {
  const store = new Map([['a', 'five points']]);
  const [fails, seen] = [{ get: 0, set: 0 }, []];
  const failing = (name) => { fails[name] -= 1; return fails[name] >= 0; };
  const keep = {
    get: async (key) => { if (failing('get')) throw new Error('no answer'); return store.get(key); },
    set: async (key, value) => {
      await new Promise((done) => setTimeout(done, 5));
      if (failing('set')) throw new Error('no room');
      store.set(key, value);
    },
  };
  const now = { key: 'a' };
  const [keyOf, read, onRead] = [() => now.key, (kept) => kept ?? null, (one) => seen.push(one)];
  const draft = m.createDraftKeep({ keep, keyOf, read, onRead });
  const pause = () => new Promise((done) => setTimeout(done, 20));
  const tick = () => new Promise((done) => setTimeout(done, 0));
  const result = await eval(body)({ draft, now, fails, pause, tick });
  return { result, seen, store: Object.fromEntries(store) };
}"""


def told(ask, body):
    return ask("../device/draft_keep", RUN, f"async ({{ draft, now, fails, pause, tick }}) => {{ {body} }}")


def test_what_could_not_be_read_is_not_written_over_and_is_read_again(ask):
    found = told(
        ask,
        """fails.get = 1; draft.follow(); await pause();
        const before = [draft.isRead(), draft.isFailing(), await draft.write('nothing')];
        draft.follow(); await pause();
        return [...before, draft.isRead(), draft.isFailing(), await draft.write('six points')];""",
    )
    assert found["result"] == [False, True, False, True, False, True]
    assert found["seen"] == ["five points"]
    assert found["store"] == {"a": "six points"}


def test_the_last_change_of_one_draft_is_stored_though_another_is_written_after_it(ask):
    found = told(
        ask,
        """draft.follow(); await pause();
        const first = draft.write('six points'); const last = draft.write('seven points');
        now.key = 'b'; draft.follow(); while (!draft.isRead()) await tick();
        const other = draft.write('one point'); const again = draft.write('two points');
        return Promise.all([first, last, other, again]);""",
    )
    assert found["result"] == [True] * 4
    assert found["store"] == {"a": "seven points", "b": "two points"}


def test_a_write_that_failed_is_told_of_that_draft_alone(ask):
    found = told(
        ask,
        """draft.follow(); await pause(); fails.set = 1;
        const lost = await draft.write('six points'); const isFailing = draft.isFailing();
        now.key = 'b'; draft.follow(); await pause();
        return [lost, isFailing, draft.isFailing()];""",
    )
    assert found["result"] == [False, True, False]
