// The verdict at a point: inside, outside, or cannot tell. Twin of fieldapp/reading/verdict.py.

/** Radii that hold 68 % and 95 % of a circular normal error, in sigma. */
export const R68_IN_SIGMA = Math.sqrt(-2 * Math.log(1 - 0.68));
export const R95_IN_SIGMA = Math.sqrt(-2 * Math.log(1 - 0.95));

/** The 95 % radius behind a receiver's accuracy figure, taken as a 68 % radius; null when it gave no usable one. */
export function radius95M(accuracyM) {
  if (!Number.isFinite(accuracyM) || accuracyM <= 0) return null;
  return accuracyM * (R95_IN_SIGMA / R68_IN_SIGMA);
}

/** Judge a distance against the tolerance with the 95 % radius as the guard band on both sides. */
export function verdict(distanceM, radius95M, toleranceM) {
  if (!Number.isFinite(distanceM) || !Number.isFinite(radius95M)) return 'cannot tell';
  if (distanceM + radius95M <= toleranceM) return 'inside';
  return distanceM - radius95M > toleranceM ? 'outside' : 'cannot tell';
}
