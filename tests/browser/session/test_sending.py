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
        """const tooSlow = () => { throw new DOMException('too slow', 'TimeoutError'); };
        answering(({ ids }) => (ids.length > 4 ? tooSlow() : receipt(ids)));
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


STRANGERS = {
    "a page of a proxy": "new Response('<h1>413 Request Entity Too Large</h1>', "
    "{ status: STATUS, headers: { 'Content-Type': 'text/html' } })",
    "JSON of a proxy": "json(STATUS, { title: 'Blocked', status: STATUS, detail: 'By the firewall.' })",
    "a problem of something else": "json(STATUS, { message: 'no' }, 'application/problem+json')",
    "a problem of another status": "json(STATUS, { type: 't', title: 'No', status: 500, detail: 'd' }, "
    "'application/problem+json')",
}


@pytest.mark.parametrize("who", STRANGERS)
@pytest.mark.parametrize("status", [400, 409, 413, 422])
def test_what_somebody_on_the_way_refuses_waits_and_is_sent_later(ask, who, status):
    found = tell(
        ask,
        f"""answering(() => {STRANGERS[who].replace("STATUS", str(status))});
        const keep = holding({{ outbox: waiting(2) }});
        const outbox = await opened(keep);
        await rest();
        const met = outbox.state();
        answering(({{ ids }}) => receipt(ids));
        await outbox.send();
        await rest();
        return {{ met, then: outbox.state(), sent: [...keep.held.sent.keys()], ids: posts.map((p) => p.ids) }};""",
    )
    assert (found["met"]["waiting"], found["met"]["refused"]) == (2, [])
    assert [fault["status"] for fault in found["met"]["faults"]] == [status]
    assert found["sent"] == ["r001", "r002"]
    assert found["ids"] == [["r001", "r002"], ["r001"], ["r002"]]
    assert (found["then"]["waiting"], found["then"]["faults"]) == (0, [])


def test_a_batch_that_our_server_cannot_take_is_tried_record_by_record(ask):
    found = tell(
        ask,
        """answering(({ ids }) => (ids.includes('r002') ? problem(422, 'No such thing.') : receipt(ids)));
        const outbox = await opened(holding({ outbox: waiting(3) }));
        await rest();
        return outbox.state();""",
    )
    assert found["waiting"] == 0
    assert [(r["id"], r["detail"]) for r in found["refused"]] == [("r002", "No such thing.")]


REFUSED = "waiting(2, { refused: 'Not to be taken.', handedOver: 'then' })"


def test_refused_records_are_tried_once_more_when_the_page_is_opened(ask):
    found = tell(
        ask,
        f"""answering(({{ ids }}) => receipt([], ids));
        const outbox = await opened(holding({{ outbox: {REFUSED} }}));
        await rest();
        for (let turn = 0; turn < 3; turn++) {{ await outbox.send(); await rest(); }}
        return {{ ids: posts.map((p) => p.ids), states: states.concat(outbox.state()).filter(Boolean) }};""",
    )
    assert found["ids"] == [["r001", "r002"]]
    for state in found["states"][1:]:
        assert (state["waiting"], state["faults"]) == (0, [])
        assert [(r["id"], r["detail"], r["handedOver"]) for r in state["refused"]] == [
            ("r001", "Not to be taken.", "then"),
            ("r002", "Not to be taken.", "then"),
        ]


def test_refused_records_that_the_server_takes_now_are_sent_once(ask):
    found = tell(
        ask,
        f"""answering(({{ ids }}) => receipt(ids));
        const keep = holding({{ outbox: {REFUSED} }});
        const outbox = await opened(keep);
        await rest();
        await outbox.send();
        await rest();
        return {{ ids: posts.map((p) => p.ids), left: keep.held.outbox.size, state: outbox.state(),
          records: outbox.records().map((r) => r.id) }};""",
    )
    assert found["ids"] == [["r001", "r002"]]
    assert (found["left"], found["state"]["refused"]) == (0, [])
    assert found["records"] == ["r001", "r002"]


def test_refused_records_go_after_those_that_wait_and_hold_none_of_them_up(ask):
    found = tell(
        ask,
        """const both = waiting(3);
        both.get('r001').refused = 'Not to be taken.';
        answering(({ ids }) => (ids.includes('r001') ? problem(422, 'Still not.') : receipt(ids)));
        const outbox = await opened(holding({ outbox: both }));
        await rest();
        return { ids: posts.map((p) => p.ids), state: outbox.state() };""",
    )
    assert found["ids"] == [["r002", "r003"], ["r001"]]
    assert [r["detail"] for r in found["state"]["refused"]] == ["Still not."]


def test_refused_records_that_did_not_get_through_are_tried_with_the_next(ask):
    found = tell(
        ask,
        f"""answering(() => {{ throw new TypeError('Failed to fetch'); }});
        const outbox = await opened(holding({{ outbox: {REFUSED} }}));
        await rest();
        const met = outbox.state();
        answering(({{ ids }}) => receipt(ids));
        await outbox.send();
        await rest();
        return {{ met, then: outbox.state() }};""",
    )
    assert (found["met"]["waiting"], len(found["met"]["refused"])) == (0, 2)
    assert found["then"]["refused"] == []


def test_a_notice_put_away_while_its_records_are_tried_again_stays_away(ask):
    found = tell(
        ask,
        f"""let outbox = null;
        answering(async ({{ ids }}) => {{ await outbox.markRefused({{ putAway: 'now' }}); return receipt([], ids); }});
        const keep = holding({{ outbox: {REFUSED} }});
        outbox = m.createOutbox({{ keep, url: '/records', onChange: () => {{}} }});
        await outbox.start();
        await rest();
        return {{ refused: outbox.state().refused, away: [...keep.held.outbox.values()].map((e) => e.putAway) }};""",
    )
    assert found == {"refused": [], "away": ["now", "now"]}
