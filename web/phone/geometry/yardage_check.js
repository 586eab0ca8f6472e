// The yardage check: does a place measure what was planned, and what would settle it. Twin of fieldapp/play/yardage_check.py,
// where the reasons stand. A figure against its plan is
// {differenceM, toleranceM, lineEffectM, radius95M, tee95M, grid95M, edgeSlope}, ground metres, the slope metres per metre.

import { radius95With } from './check_in.js';
import { worstVariance } from './process.js';
import { R68_IN_SIGMA, R95_IN_SIGMA } from './verdict.js';
import { straightRange95M, Z95_IN_SIGMA } from './yardage.js';

const LONGEST_S = 3600;
const [MOST_FIXES, MOST_FIXES_WITH_CHECK_IN] = [600, 30];
const FIRST_S = 15;
const FINEST_M = 0.01;
const WITHIN_S = 1;

/** The half-width of a figure's 95 % range; null where the radius of the position or of the grid is unknown. */
export function range95M({ radius95M, tee95M, grid95M, edgeSlope }) {
  if (radius95M === null || grid95M === null) return null;
  const slant = slantOf(edgeSlope);
  return straightRange95M(radius95M * slant, tee95M, grid95M * slant);
}

/** How many times an error of the place counts: once along the shot, and across it by the slope of the edge. */
const slantOf = (edgeSlope) => Math.sqrt(1 + edgeSlope ** 2);

/** 'agrees', 'differs' or 'cannot tell', by guard bands: the range, and all that standing off the line may make of it. */
export function checkVerdict(differenceM, rangeM, toleranceM, lineEffectM = 0) {
  if (rangeM === null || lineEffectM === null) return 'cannot tell';
  const guardM = rangeM + Math.abs(lineEffectM);
  if (Math.abs(differenceM) + guardM <= toleranceM) return 'agrees';
  return Math.abs(differenceM) - guardM > toleranceM ? 'differs' : 'cannot tell';
}

/** The 95 % radius below which the position would settle the check; null where none would. */
export function neededRadius95M({ differenceM, toleranceM, tee95M, grid95M, edgeSlope }) {
  if (grid95M === null) return null;
  const slant = slantOf(edgeSlope);
  const roomM = (Math.abs(toleranceM - Math.abs(differenceM)) * R95_IN_SIGMA) / Z95_IN_SIGMA;
  const left = roomM ** 2 - tee95M ** 2 - (slant * grid95M) ** 2;
  return left > 0 ? Math.sqrt(left) / slant : null;
}

/** The 95 % radius of a reading {sigmaM, firstS, stoodS, checkIn} that has stood so long in all, one fix a second. */
export function radius95After({ sigmaM, firstS, checkIn }, totalS, process) {
  const most = checkIn === null ? MOST_FIXES : MOST_FIXES_WITH_CHECK_IN;
  const count = Math.min(most, Math.floor(totalS) + 1);
  const stepS = count > 1 ? totalS / (count - 1) : 0;
  const timesS = Array.from({ length: count }, (_, index) => firstS + stepS * index);
  if (checkIn !== null) return radius95With(timesS, sigmaM, checkIn, process);
  return R95_IN_SIGMA * sigmaM * Math.sqrt(worstVariance(timesS, timesS.map(() => 1 / count), process));
}

/** How many seconds more to hold still until the 95 % radius is below `wantedM`; null if an hour more is not enough. */
export function moreSeconds(standing, wantedM, process) {
  const isEnough = (moreS) => radius95After(standing, standing.stoodS + moreS, process) < wantedM;
  let [shortS, longS] = [0, FIRST_S];
  while (!isEnough(longS)) {
    if (longS >= LONGEST_S) return null;
    [shortS, longS] = [longS, Math.min(2 * longS, LONGEST_S)];
  }
  while (longS - shortS > WITHIN_S) {
    const middleS = (shortS + longS) / 2;
    [shortS, longS] = isEnough(middleS) ? [shortS, middleS] : [middleS, longS];
  }
  return longS;
}

/**
 * What would settle a check: {kind, moreS, radius95M, accuracyM}, kind 'settled', 'know the grid', 'step onto the line',
 * 'hold still', 'better receiver' or 'tape'. `standing` is the reading in hand, null where the receiver gives no figure.
 */
export function settling(compared, standing, process) {
  const { differenceM, toleranceM, lineEffectM, grid95M } = compared;
  if (grid95M === null) return settled('know the grid');
  const judge = (effectM) => checkVerdict(differenceM, range95M(compared), toleranceM, effectM);
  if (judge(lineEffectM) !== 'cannot tell') return settled('settled');
  if (lineEffectM === null || judge(0) !== 'cannot tell') return settled('step onto the line');
  const wantedM = neededRadius95M(compared);
  if (wantedM === null) return settled('tape');
  const moreS = standing === null ? null : moreSeconds(standing, wantedM, process);
  if (moreS !== null) return settled('hold still', { moreS, radius95M: wantedM });
  const accuracyM = (wantedM * R68_IN_SIGMA) / R95_IN_SIGMA;
  if (accuracyM < FINEST_M) return settled('tape', { radius95M: wantedM });
  return settled('better receiver', { radius95M: wantedM, accuracyM });
}

const settled = (kind, found = {}) => ({ kind, moreS: null, radius95M: null, accuracyM: null, ...found });
