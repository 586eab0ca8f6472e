// Whose turn it is where a browser gives a page no locks, as on plain http: its tabs tell one another.

const [ANSWER_MS, TAKEN_AFTER_MS, AGAIN_AFTER_MS, LATE_ANSWER_MS] = [400, 5000, 3000, 2000];

/**
 * The turns of `createTurns`, spoken over a channel. Who has the turn says no to those who ask whether they may; of two who
 * ask at once the one with the smaller number may. Who waits asks again and again, since a tab may go without a word; one
 * that was asleep and says no too late finds its turn taken.
 */
export function createSpokenTurns({ name, gained, lost, handOver }) {
  const channel = new BroadcastChannel(name);
  const me = Math.random();
  let [state, refuse] = ['waits', null];
  const say = (what, to = null) => channel.postMessage({ what, from: me, to });

  const claim = async (patienceMs = ANSWER_MS) => {
    state = 'asks';
    say('may I');
    const isFree = await new Promise((settled) => {
      refuse = () => settled(false);
      setTimeout(settled, patienceMs, true);
    });
    if (state === 'asks') state = isFree ? 'has' : 'waits';
    return isFree;
  };

  const claimAgain = async (patienceMs) => { if (state === 'waits' && await claim(patienceMs)) gained(); };

  const lose = () => {
    if (state !== 'has') return;
    state = 'waits';
    lost();
  };

  const take = () => {
    if (state === 'has') return;
    refuse?.();
    state = 'has';
    say('taken');
    gained();
  };

  const heard = {
    'may I': (from) => { if (state === 'has' || (state === 'asks' && me < from)) say('no', from); },
    no: () => (state === 'has' ? say('taken') : refuse?.()),
    taken: () => {
      refuse?.();
      lose();
    },
    give: async (from) => {
      if (state !== 'has') return;
      await handOver();
      lose();
      say('gone', from);
    },
    gone: () => claimAgain(),
  };
  channel.addEventListener('message', ({ data: { what, from, to } }) => { if (to === null || to === me) heard[what](from); });

  addEventListener('pagehide', () => {
    if (state === 'has') say('gone');
  });
  addEventListener('pageshow', ({ persisted }) => {
    if (!persisted) return;
    lose();
    claimAgain();
  });

  return {
    claim: () => {
      setInterval(claimAgain, AGAIN_AFTER_MS, LATE_ANSWER_MS);
      return claim();
    },
    ask: () => {
      say('give');
      setTimeout(take, TAKEN_AFTER_MS);
    },
  };
}
