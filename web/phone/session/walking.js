// The direction somebody walks in, from the places they have been. Nothing is claimed until they have moved enough.

import { bearingDeg } from './guidance.js';

const LEAST_STEP_M = 0.4;
const STEP_IN_RADII = 0.6;

/** Nobody has moved yet. */
export const standing = { from: null, bearingDeg: null };

/** The walk after one more place {x, y, radius95M}; the bearing is in course coordinates. */
export function walkOn(walk, place) {
  if (walk.from === null) return { from: place, bearingDeg: null };
  const dx = place.x - walk.from.x;
  const dy = place.y - walk.from.y;
  const enough = Math.max(LEAST_STEP_M, STEP_IN_RADII * (place.radius95M ?? 10));
  if (Math.sqrt(dx * dx + dy * dy) < enough) return walk;
  return { from: place, bearingDeg: bearingDeg(dx, dy) };
}
