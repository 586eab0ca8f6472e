// What a draft is to keep clear of, in words: the near things each in a sentence, the farther ones in a count.

import { groundWords } from '../../phone/session/lengths.js';

const NONE = 'Nothing to keep clear of is drawn on this site.';
const NEAR = { metre: { m: 10, words: '10 m' }, foot: { m: 9.144, words: '30 ft' } };

/**
 * Rows [{words, isTooNear}], nearest first: things within their clearance and 10 m (30 ft) more, then how many lie farther. `count`
 * is how many things the site has; while nothing is drawn there are no `clearances`.
 */
export function clearRows(clearances, count, unit) {
  if (count === 0) return [row(NONE)];
  const near = clearances.filter((one) => one.distance_m <= one.clearance_m + NEAR[unit].m);
  const farther = clearances.length - near.length;
  return [...near.map((one) => row(nearWords(one, unit), one.is_too_near)), ...(farther > 0 ? [row(fartherWords(farther, near.length > 0, unit))] : [])];
}

const row = (words, isTooNear = false) => ({ words, isTooNear });

function nearWords({ name, kind, id, distance_m: distanceM, clearance_m: clearanceM, is_too_near: isTooNear }, unit) {
  const write = (lengthM) => groundWords(lengthM, unit, 0, 1);
  const what = name ? `${name} (${kind})` : `${kind} ${id}`;
  const where = distanceM === 0 ? 'the bunker lies over it' : `${write(distanceM)} away`;
  return `${isTooNear ? 'Too near: ' : ''}${what}, ${where}; to be ${write(clearanceM)} clear.`;
}

function fartherWords(count, isMore, unit) {
  const things = `${count}${isMore ? ' more' : ''} ${count === 1 ? 'thing' : 'things'} to keep clear of`;
  return `${things} on this site ${count === 1 ? 'has' : 'have'} over ${NEAR[unit].words} to spare.`;
}
