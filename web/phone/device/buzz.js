// The phone's vibration, where it has one: an iPhone's browser has none, and says nothing of it.

const PATTERNS = { onTheMark: [60, 60, 60], stored: [180] };

/** {able, give('onTheMark' | 'stored')}. */
export function createBuzz() {
  const able = typeof navigator.vibrate === 'function';
  return { able, give: (what) => { if (able) navigator.vibrate(PATTERNS[what]); } };
}
