"""Whether the page is kept whole: a worker slow to say so is waited for, one that never does is not believed."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

RUN = """async (m, [first, afterMs]) => {
  let registered = 0;
  const [wait, times] = [globalThis.setTimeout, 100];
  globalThis.setTimeout = (then, ms) => wait(then, ms / times);
  const answer = (port) => { if (afterMs !== null) setTimeout(() => port.postMessage({ whole: true }), afterMs); };
  const active = { postMessage: (_asked, [port]) => answer(port) };
  const registration = { installing: null, waiting: null, active, addEventListener: () => {} };
  const workers = {
    controller: null, addEventListener: () => {}, register: async () => { registered += 1; return registration; },
    ready: Promise.resolve(registration),
  };
  Object.defineProperty(navigator, 'serviceWorker', { value: workers, configurable: true });
  Object.defineProperty(globalThis, 'isSecureContext', { value: true, configurable: true });
  const offline = m.createOffline({ url: '/sw.js', scope: '/' });
  await offline[first]();
  globalThis.setTimeout = wait;
  const told = [offline.state().state, offline.state().fault];
  await offline.start();
  return [...told, registered];
}"""


@pytest.mark.parametrize(
    ("after_ms", "state"),
    [(10, ["kept", None]), (15_000, ["kept", None]), (None, ["missing", "incomplete"])],
)
def test_a_worker_has_as_long_to_answer_as_to_fetch_what_has_gone_missing(ask, after_ms, state):
    assert ask("../device/offline", RUN, ["start", after_ms]) == [*state, 1]


def test_a_check_before_the_page_was_asked_for_asks_for_it_once(ask):
    assert ask("../device/offline", RUN, ["check", 10]) == ["kept", None, 1]
