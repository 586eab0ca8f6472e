// What may be wrong with the position itself: one that never moves, one from the network, one made rough on purpose.

import { radiusWords } from './lengths.js';

const FROZEN_S = 15;
const FROZEN_FIXES = 5;
const NETWORK_M = 20;
const ROUGH_M = 500;

/** No fix has been seen. */
export const unwatched = { last: null, since: null, same: 0 };

/**
 * The watch after one more fix. `since` is when the position last differed (ms), `same` how many fixes have said the
 * same since. A real receiver's figures always move a little: its noise shows in the last digits.
 */
export function watchFix(watch, fix) {
  const { last } = watch;
  const isSame = last !== null && ['latDeg', 'lonDeg', 'accuracyM'].every((name) => last[name] === fix[name]);
  return isSame ? { ...watch, last: fix, same: watch.same + 1 } : { last: fix, since: fix.at, same: 1 };
}

/** How long the position has not moved at all, whole seconds, when that is longer than any real receiver's; else null. */
export function frozenS(watch) {
  if (watch.last === null || watch.same < FROZEN_FIXES) return null;
  const seconds = (watch.last.at - watch.since) / 1000;
  return seconds >= FROZEN_S ? Math.floor(seconds) : null;
}

/**
 * What is wrong: 'rough' (approximate location: over 500 m), 'frozen', 'network' (20 m and more without a height), or
 * null. A browser marks none of them, so they are told by what they look like.
 */
export function qualityOf(watch) {
  const fix = watch.last;
  if (fix === null) return null;
  if (fix.accuracyM > ROUGH_M) return 'rough';
  if (frozenS(watch) !== null) return 'frozen';
  return fix.accuracyM >= NETWORK_M && fix.heightM === null ? 'network' : null;
}

/** One or two sentences for the verdict strip, or null when nothing looks wrong. */
export function qualityWords(watch) {
  const words = {
    rough: 'The phone gives only a rough position. Allow the precise location for this page.',
    frozen: `The position has not moved at all for ${frozenS(watch)} s: the phone may be repeating an old one.`,
    network: 'This looks like a position from the network, not from satellites: go into the open.',
  };
  return words[qualityOf(watch)] ?? null;
}

/** The same with what to do, for the sheet about the position: [name, words] or null. */
export function qualityRow(watch, unit) {
  const found = qualityOf(watch);
  if (found === null) return null;
  const figure = radiusWords(watch.last.accuracyM ?? 0, unit);
  const rows = {
    rough: ['Only rough', `The figure given is ${figure}, so the precise location is switched off. Android: tap the sign left of the page's address, then Permissions, Location, and switch on the precise one. iPhone: Settings, Privacy & Security, Location Services, this browser, Precise Location.`],
    frozen: ['Not moving', `Exactly the same for ${frozenS(watch)} s, which a working receiver never gives. Walk a few steps; if it stays, start the receiver again below.`],
    network: ['From the network', `The figure given is ${figure} and there is no height with it: masts and wireless networks give such positions. Go into the open and wait a minute.`],
  };
  return rows[found];
}
