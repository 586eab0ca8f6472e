// The direction somebody walks in, from the places they have been. Nothing is claimed until they have moved enough.

import { bearingDeg } from './guidance.js';

const LEAST_STEP_M = 0.4;
const STEP_IN_RADII = 0.6;

/** Nobody has moved yet. */
export const standing = { from: null, bearingDeg: null, at: null, stepM: null };

/** The walk after one more place {x, y, radius95M} at a time (ms); the bearing is in course coordinates, `at` its time. */
export function walkOn(walk, place, at = null) {
  if (walk.from === null) return { ...standing, from: place };
  const dx = place.x - walk.from.x;
  const dy = place.y - walk.from.y;
  const enough = Math.max(LEAST_STEP_M, STEP_IN_RADII * (place.radius95M ?? 10));
  const stepM = Math.sqrt(dx * dx + dy * dy);
  if (stepM < enough) return walk;
  return { from: place, bearingDeg: bearingDeg(dx, dy), at, stepM };
}
