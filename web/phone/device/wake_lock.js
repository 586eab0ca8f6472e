// The screen kept on. A browser lets go of it whenever the page is hidden, so it is asked for again when it is seen.

/** {able, want(on), state()}; `onChange()` comes when the state does: 'held', 'off', 'waiting', 'refused' or 'missing'. */
export function createWakeLock({ onChange }) {
  const able = 'wakeLock' in navigator;
  let wanted = false;
  let lock = null;
  let asking = false;
  let refused = false;

  const ask = async () => {
    if (!able || !wanted || asking || lock !== null || document.visibilityState !== 'visible') return;
    asking = true;
    try {
      const got = await navigator.wakeLock.request('screen');
      got.addEventListener('release', () => { if (lock === got) { lock = null; onChange(); } });
      lock = got;
      refused = false;
    } catch {
      refused = true;
    } finally {
      asking = false;
    }
    if (!wanted) letGo();
    onChange();
  };

  const letGo = () => {
    lock?.release().catch(() => {});
    lock = null;
  };

  document.addEventListener('visibilitychange', ask);

  return {
    able,
    want: (on) => {
      wanted = on;
      if (on) ask();
      else letGo();
      onChange();
    },
    state: () => {
      if (!able) return 'missing';
      if (!wanted) return 'off';
      if (lock !== null) return 'held';
      return refused ? 'refused' : 'waiting';
    },
  };
}
