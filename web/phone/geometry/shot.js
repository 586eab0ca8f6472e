// Reach and carry of a straight shot, on the true curve. Twin of fieldapp/play/carry.py and fieldapp/outline/crossings.py.

import { stepsOf } from './curve.js';
import { xAt, yAt } from './pieces.js';

const ON_RAY_M = 1e-9;
const TOUCH_M = 1e-6;
const MOST_STEPS = 60;
const STEP_SAGITTA_M = 0.0002;

/**
 * {reachM, carryM} in course metres over a closed curve on the line from a tee [x, y] through a place [x, y]: the first sand, and where
 * the last sand ends; null where the line misses it. A tee inside the sand has a reach of 0; a run along a straight edge counts
 * as inside. `steps` are the curve's; a sliver of sand or grass less deep than their sagitta, within one of them, is not seen.
 */
export function shotOver(curve, tee, through, steps = stepsOf(curve, STEP_SAGITTA_M)) {
  const [aimX, aimY] = [through[0] - tee[0], through[1] - tee[1]];
  const length = Math.sqrt(aimX * aimX + aimY * aimY);
  if (length === 0) return null;
  const ray = { x: tee[0] - curve.origin[0], y: tee[1] - curve.origin[1], unitX: aimX / length, unitY: aimY / length };
  const side = steps.xs.map((x, i) => (x - ray.x) * ray.unitY - (steps.ys[i] - ray.y) * ray.unitX);
  const isOn = side.some((value) => Math.abs(value) <= ON_RAY_M);
  const limits = isOn ? [ON_RAY_M, -ON_RAY_M] : [0];
  const ways = limits.flatMap((limit) => stretches(crossings(curve, steps, ray, side, limit))).filter(([begin, end]) => end > begin + TOUCH_M);
  if (ways.length === 0) return null;
  return { reachM: Math.min(...ways.map(([begin]) => begin)), carryM: Math.max(...ways.map(([, end]) => end)) };
}

/** The distances ahead, rising, at which the curve goes from one side of the ray to the other. */
function crossings(curve, steps, ray, side, limit) {
  const found = [];
  for (let i = 0; i + 1 < side.length; i += 1) {
    if ((side[i] > limit) === (side[i + 1] > limit)) continue;
    const piece = curve.pieces[steps.piece[i]];
    const high = steps.piece[i + 1] === steps.piece[i] ? steps.low[i + 1] : 1;
    const u = crossedAt((at) => (xAt(piece, at) - ray.x) * ray.unitY - (yAt(piece, at) - ray.y) * ray.unitX, steps.low[i], high, side[i], side[i + 1]);
    const along = (xAt(piece, u) - ray.x) * ray.unitX + (yAt(piece, u) - ray.y) * ray.unitY;
    if (along > TOUCH_M) found.push(along);
  }
  return found.sort((a, b) => a - b);
}

/** Where a quantity is nought between two u at which it has two signs: false position, halved where it sticks (Illinois). */
function crossedAt(quantity, from, to, first, last) {
  let [low, high, below, above] = [from, to, first, last];
  if (below * above >= 0) return Math.abs(below) <= Math.abs(above) ? low : high;
  let was = 0;
  for (let step = 0; step < MOST_STEPS && high - low > 1e-14; step += 1) {
    const u = (low * above - high * below) / (above - below);
    const value = quantity(u);
    if (Math.abs(value) < 1e-12) return u;
    if (value * below > 0) {
      [low, below, above] = [u, value, was === 1 ? above / 2 : above];
      was = 1;
    } else {
      [high, above, below] = [u, value, was === -1 ? below / 2 : below];
      was = -1;
    }
  }
  return (low + high) / 2;
}

const stretches = (ends) => {
  const all = ends.length % 2 === 1 ? [0, ...ends] : ends;
  return all.flatMap((begin, i) => (i % 2 === 0 ? [[begin, all[i + 1]]] : []));
};
