// The sound that leads to the mark: beats that come quicker the nearer it is, and another tone on it.

import { isVague } from './wording.js';

const SLOWEST_MS = 1500;
const QUICKEST_MS = 130;
const MS_PER_ROOT_METRE = 200;

/** On the mark: a higher, longer tone at an even pace, not to be mistaken for being near. */
const ON_THE_MARK = { everyMs: 700, toneHz: 1320, lengthMs: 260 };
const ON_THE_WAY = { toneHz: 660, lengthMs: 70 };

/**
 * The beat {everyMs, toneHz, lengthMs} for ground metres to go, the 95 % radius and the verdict; null is silence. It is
 * silent when it cannot tell how near: nothing to go to, no radius, or nearer than the radius without being on the mark.
 */
export function beatOf({ distanceM, radius95M, verdict }) {
  if (verdict === 'inside') return ON_THE_MARK;
  if (distanceM === null || radius95M === null) return null;
  if (verdict === 'cannot tell' && distanceM <= radius95M) return null;
  const everyMs = Math.min(SLOWEST_MS, Math.round(QUICKEST_MS + MS_PER_ROOT_METRE * Math.sqrt(distanceM)));
  return { everyMs, ...ON_THE_WAY };
}

/** The beat of an aim: an old or doubtful position leads nobody. */
export function beatOfAim(aim) {
  if (aim.place !== null && isVague(aim.place.radius95M)) return null;
  if (aim.point === null || aim.way === null || aim.isDoubtful) return null;
  return beatOf({ distanceM: aim.distanceM, radius95M: aim.place.radius95M, verdict: aim.verdict });
}
