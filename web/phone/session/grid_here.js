// How well the grid is known where the worker stands. What nobody knows is never taken as exact.

/**
 * {grid95M, gridBasis}: the 95 % radius of the grid, null where it is not known, and what that rests on: 'stated' by the
 * plan, 'practice', 'check-in'; not known: 'unchecked fit', 'no check-in', 'not stated'. The plan's `grid_unknown` says why
 * it states none: 'fit', 'shift' or 'origin'; a plan kept from before has no such word. Practice positions are made by the
 * grid itself. A check-in takes a grid's shift off as it does the receiver's, and leaves as much of it.
 */
export function gridHere({ bundle: { hole }, practice, place }) {
  const { grid_within_m: withinM, grid_unknown: unknown } = hole;
  if (unknown === null && Number.isFinite(withinM)) return { grid95M: withinM, gridBasis: 'stated' };
  if (practice !== null) return { grid95M: 0, gridBasis: 'practice' };
  if (unknown === 'fit') return { grid95M: null, gridBasis: 'unchecked fit' };
  if (unknown !== 'shift' && unknown !== 'origin') return { grid95M: null, gridBasis: 'not stated' };
  const leftM = place?.checkIn?.lasting95M ?? null;
  return { grid95M: leftM, gridBasis: leftM === null ? 'no check-in' : 'check-in' };
}
