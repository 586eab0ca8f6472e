"""Whether the page is kept whole: a worker slow to say so is waited for, one that never does is not believed."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

RUN = """async (m, afterMs) => {
  const [wait, times] = [globalThis.setTimeout, 100];
  globalThis.setTimeout = (then, ms) => wait(then, ms / times);
  const answer = (port) => { if (afterMs !== null) setTimeout(() => port.postMessage({ whole: true }), afterMs); };
  const active = { postMessage: (_asked, [port]) => answer(port) };
  const registration = { installing: null, waiting: null, active, addEventListener: () => {} };
  const workers = {
    controller: null, addEventListener: () => {}, register: async () => registration,
    ready: Promise.resolve(registration),
  };
  Object.defineProperty(navigator, 'serviceWorker', { value: workers, configurable: true });
  Object.defineProperty(globalThis, 'isSecureContext', { value: true, configurable: true });
  const offline = m.createOffline({ url: '/sw.js', scope: '/' });
  await offline.start();
  globalThis.setTimeout = wait;
  return [offline.state().state, offline.state().fault];
}"""


@pytest.mark.parametrize(
    ("after_ms", "state"),
    [(10, ["kept", None]), (15_000, ["kept", None]), (None, ["missing", "incomplete"])],
)
def test_a_worker_has_as_long_to_answer_as_to_fetch_what_has_gone_missing(ask, after_ms, state):
    assert ask("../device/offline", RUN, after_ms) == state
