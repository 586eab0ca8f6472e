"""Storage whose connection dies without a word, as a phone's does in the background: nothing waits for it for ever."""

import pytest

pytestmark = pytest.mark.browser

HURRY = 20
SET_UP = """
  const later = globalThis.realTimeout ??= setTimeout;
  globalThis.setTimeout = (work, ms, ...given) => later(work, ms / HURRY, ...given);
  const proto = IDBDatabase.prototype;
  const transaction = proto.realTransaction ??= proto.transaction;
  const open = IDBFactory.prototype.realOpen ??= IDBFactory.prototype.open;
  const dead = new Set();
  let last = null;
  const phone = { kill: () => dead.add(last), isAllDead: false, opens: [] };
  proto.transaction = function (...given) {
    last = this;
    if (!phone.isAllDead && !dead.has(this)) return transaction.apply(this, given);
    return { objectStore: () => new Proxy({}, { get: () => () => ({}) }) };
  };
  IDBFactory.prototype.open = (...given) => (phone.opens.shift() === 'never' ? {} : open.apply(indexedDB, given));
  const said = (promise) => Promise.race([
    promise.then((value) => value ?? null, (fault) => fault.name),
    new Promise((resolve) => { setTimeout(resolve, 15000, 'still waiting'); }),
  ]);
""".replace("HURRY", str(HURRY))
RECORD = "const record = (id) => ({ id, made_at: '2026-05-01T09:00:00.000Z' });"
OUTBOX = """
  const { createOutbox } = await import('/phone/device/outbox.js');
  const posted = [];
  globalThis.fetch = async (url, { body }) => {
    const ids = JSON.parse(body).records.map((r) => r.id);
    posted.push(...ids);
    return { ok: true, json: async () => ({ stored: ids, refused: [] }) };
  };
  const pause = () => new Promise((resolve) => { later(resolve, 10); });
  const until = async (isSo) => { for (let n = 0; n < 300 && !isSo(); n++) await pause(); };
"""


def tell(ask, code):
    return ask("../device/keep", f"async (m) => {{ {SET_UP} {RECORD} {code} }}")


def test_a_call_on_a_dead_connection_ends_and_the_next_one_opens_another(ask):
    found = tell(
        ask,
        """const keep = m.createKeep();
        await keep.set('name', 'Kim');
        phone.kill();
        const from = performance.now();
        const both = await Promise.all([said(keep.get('name')), said(keep.set('name', 'Bo'))]);
        return { both, tookMs: performance.now() - from, next: await said(keep.get('name')) };""",
    )
    assert found["both"] == ["TimeoutError", "TimeoutError"]
    assert 3500 / HURRY < found["tookMs"] < 15000 / HURRY
    assert found["next"] == "Kim"


def test_a_connection_that_never_opens_is_opened_again(ask):
    found = tell(
        ask,
        """await m.createKeep().set('name', 'Kim');
        phone.opens = ['never'];
        const keep = m.createKeep();
        return [await said(keep.get('name')), await said(keep.get('name'))];""",
    )
    assert found == ["TimeoutError", "Kim"]


def test_marks_that_only_the_page_holds_are_sent_over_a_storage_that_is_dead(ask):
    found = tell(
        ask,
        f"""{OUTBOX}
        const outbox = createOutbox({{ keep: m.createKeep(), url: '/dead', onChange: () => {{}} }});
        await outbox.start();
        phone.isAllDead = true;
        const kept = await Promise.all(['a', 'b', 'c'].map((id) => outbox.add(record(id))));
        const [from, counts] = [performance.now(), outbox.state()];
        await until(() => posted.length >= 3);
        return {{ kept, posted, unkept: counts.unkept, tookMs: performance.now() - from }};""",
    )
    assert found["kept"] == [False, False, False]
    assert found["posted"] == ["a", "b", "c"]
    assert found["unkept"] == 3
    assert found["tookMs"] < 40_000 / HURRY


def test_marks_made_while_the_connection_was_dead_are_kept_by_the_next_one(ask):
    found = tell(
        ask,
        f"""{OUTBOX}
        const keep = m.createKeep();
        const outbox = createOutbox({{ keep, url: '/again', onChange: () => {{}} }});
        await outbox.start();
        phone.kill();
        const kept = await outbox.add(record('d'));
        await until(() => posted.length > 0 && outbox.state().unkept === 0 && outbox.state().waiting === 0);
        await until(() => false);
        return {{ kept, posted, sent: (await keep.all('sent')).map((e) => e.record.id), state: outbox.state() }};""",
    )
    assert found["kept"] is False
    assert found["posted"] == ["d"]
    assert "d" in found["sent"]
    assert (found["state"]["waiting"], found["state"]["unkept"]) == (0, 0)
