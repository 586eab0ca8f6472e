"""Records on a poor uplink, and what the server and others on the way answer: all arrive, none is given up wrongly."""

import pytest

pytestmark = pytest.mark.browser

MODULE = "../device/outbox"
SET_UP = """
  globalThis.setInterval = () => 0;
  const record = (n) => ({ id: `r${String(n).padStart(3, '0')}`, made_at: '2026-05-01T09:00:00.000Z', note: 'x'.repeat(650) });
  const holding = (stores = {}) => {
    const held = { outbox: new Map(), sent: new Map(), ...stores };
    return {
      held,
      all: async (store) => [...held[store].values()],
      put: async (store, e) => { held[store].set(e.record.id, e); },
      move: async (from, to, es) => es.forEach((e) => { held[from].delete(e.record.id); held[to].set(e.record.id, e); }),
      remove: async (store, ids) => ids.forEach((id) => held[store].delete(id)),
    };
  };
  const waiting = (count, more = {}) => new Map(Array.from({ length: count }, (_, n) => n + 1)
    .map((n) => [record(n).id, { record: record(n), url: '/records', refused: null, nth: n, ...more }]));
  const posts = [];
  const answering = (answer) => {
    globalThis.fetch = async (url, { body, signal }) => {
      const ids = JSON.parse(body).records.map((r) => r.id);
      const post = { ids, bytes: new TextEncoder().encode(body).length, limitMs: signal.limitMs };
      posts.push(post);
      return answer(post);
    };
    AbortSignal.timeout = (limitMs) => Object.assign(new AbortController().signal, { limitMs });
  };
  const json = (status, said, type = 'application/json') => new Response(JSON.stringify(said), { status, headers: { 'Content-Type': type } });
  const problem = (status, detail) => json(status, { type: 'about:blank', title: 'No', status, detail, instance: '/r' }, 'application/problem+json');
  const receipt = (stored, refused = []) => json(200, { stored, refused: refused.map((id) => ({ id, detail: 'Not to be taken.' })), remarks: [] });
  const states = [];
  const opened = async (keep) => {
    const outbox = m.createOutbox({ keep, url: '/records', onChange: () => states.push(outbox?.state()) });
    await outbox.start();
    return outbox;
  };
  const pause = () => new Promise((resolve) => { setTimeout(resolve, 10); });
  const rest = async () => { let before = -1; while (posts.length !== before) { before = posts.length; for (let n = 0; n < 5; n++) await pause(); } };
  const counts = () => posts.map(({ ids }) => ids.length);
"""  # noqa: E501


def tell(ask, code):
    return ask(MODULE, f"async (m) => {{ {SET_UP} {code} }}")


def test_a_batch_gets_the_time_that_its_length_needs_on_a_slow_uplink(ask):
    (post,) = tell(
        ask,
        """answering(({ ids }) => receipt(ids));
        await opened(holding({ outbox: waiting(50) }));
        await rest();
        return posts;""",
    )
    assert 30_000 < post["bytes"] < 42_000
    assert post["limitMs"] == pytest.approx(8000 + post["bytes"] / 2, abs=1)


def test_a_batch_that_does_not_get_through_is_halved_and_grows_again(ask):
    found = tell(
        ask,
        """answering(({ ids }) => { if (ids.length > 4) throw new DOMException('too slow', 'TimeoutError'); return receipt(ids); });
        const keep = holding({ outbox: waiting(90) });
        const outbox = await opened(keep);
        for (let turn = 0; turn < 6; turn++) { await outbox.send(); await rest(); }
        const slow = counts();
        answering(({ ids }) => receipt(ids));
        await outbox.send();
        await rest();
        return { slow, all: counts(), sent: keep.held.sent.size, state: outbox.state() };""",
    )
    assert found["slow"][:5] == [50, 25, 12, 6, 3]
    assert max(found["slow"][5:]) <= 8
    assert found["all"][len(found["slow"]) :][:3] == sorted(found["all"][len(found["slow"]) :][:3])
    assert max(found["all"][len(found["slow"]) :]) > 8
    assert (found["sent"], found["state"]["waiting"], found["state"]["faults"]) == (90, 0, [])


def test_the_smallest_batch_is_one_record_and_the_largest_fifty(ask):
    found = tell(
        ask,
        """answering(() => { throw new TypeError('Failed to fetch'); });
        const outbox = await opened(holding({ outbox: waiting(300) }));
        await rest();
        for (let turn = 0; turn < 8; turn++) { await outbox.send(); await rest(); }
        const cut = counts();
        answering(({ ids }) => receipt(ids));
        await outbox.send();
        await rest();
        return [cut, counts().slice(cut.length)];""",
    )
    assert found[0] == [50, 25, 12, 6, 3, 1, 1, 1, 1]
    assert found[1] == [1, 2, 4, 8, 16, 32, 50, 50, 50, 50, 37]
