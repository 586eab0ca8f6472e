// Holding still: fixes taken on one spot, the reading they make, and when somebody has walked off it.

import { combine } from '../geometry/combine.js';
import { correlation, varianceOfSum } from '../geometry/process.js';
import { evenly } from './thinning.js';

const GAP_S = 0.4;
const MOST_FIXES = 600;
const COMBINE_EVERY_S = 0.9;
const FEW_FIXES = 5;
const LEAVES_IN_SIGMA = 3.7;
const LEAVES_M = 0.1;
const UNKNOWN_SIGMA_M = 5;
const RECENT_S = [2, 8];
const MOST_RECENT = 40;
const LOOKED_AT = 60;
const WALKING_M_PER_S = 0.6;
const STRIKES = 2;
const GAIN_S = 60;
const LITTLE = 0.05;

/** Somebody begins to stand still at a time (ms). */
export const beginHolding = (nowMs) => ({ since: nowMs, fixes: [], reading: null, gapS: GAP_S, strikes: 0, left: false, isAnew: false });

/**
 * The holding after one more fix {tS, x, y, sigmaM, speedMS}. `left` turns true when two fixes in a row lie farther from
 * the others than the receiver's noise explains, or the receiver itself gives a walking pace. At most 600 fixes are kept:
 * of more every other one goes, which costs nothing where errors last for minutes. A fix older than the last means that
 * the phone's clock was put back: how far the fixes lie apart is then not known, so the holding begins anew with it.
 */
export function holdOn(before, fix, process) {
  const isBack = fix.tS < before.fixes.at(-1)?.tS;
  const holding = isBack ? { ...beginHolding(1000 * fix.tS), isAnew: true } : before;
  const last = holding.fixes.at(-1);
  if (last && (fix.tS - last.tS < holding.gapS || isSame(fix, last))) return holding;
  const strikes = isWalking(fix) || hasLeft(holding.fixes, fix, process) ? holding.strikes + 1 : 0;
  if (strikes >= STRIKES) return { ...holding, strikes, left: true };
  const added = { ...holding, strikes, fixes: holding.fixes.concat([{ ...fix, isStray: strikes > 0 }]) };
  const thinned = added.fixes.length > MOST_FIXES
    ? { ...added, fixes: added.fixes.filter((_, i) => i % 2 === 0), gapS: 2 * added.gapS }
    : added;
  return isDue(thinned, fix) ? { ...thinned, reading: combine(thinned.fixes, process) } : thinned;
}

/** A repeated position is no second one. */
const isSame = (a, b) => a.x === b.x && a.y === b.y && a.sigmaM === b.sigmaM;

const isWalking = ({ speedMS }) => speedMS !== null && speedMS !== undefined && speedMS >= WALKING_M_PER_S;

/** So that a fix is shown at once, the reading is made anew about once a second, not with every fix. */
function isDue({ fixes, reading }, fix) {
  return reading === null || fixes.length <= FEW_FIXES || fix.tS - reading.timesS[1] >= COMBINE_EVERY_S;
}

/** Whether a fix lies off all the sound fixes, or off those of some seconds ago: the one tells a slow stray, the other a step. */
export function hasLeft(fixes, fix, process) {
  const sound = fixes.filter(({ isStray }) => !isStray);
  const recent = sound.slice(-MOST_RECENT).filter(({ tS }) => fix.tS - tS >= RECENT_S[0] && fix.tS - tS <= RECENT_S[1]);
  return [evenly(sound, LOOKED_AT), recent].some((set) => set.length >= 2 && isOff(set, fix, process));
}

/**
 * A fix against the mean of others, by the variance of their difference under the process: sigma² (1 + A − 2 B), A the
 * variance of the mean and B its covariance with the fix. The shortest time constants within the spread are taken, so
 * that a receiver whose error moves quickly is not called a walker.
 */
function isOff(set, fix, process) {
  const quick = { ...process, parts: process.parts.map(([share, tauS]) => [share, tauS / process.spread]) };
  const count = set.length;
  const [x, y, across] = set.reduce(
    ([sx, sy, sb], other) => [sx + other.x / count, sy + other.y / count, sb + correlation(quick, fix.tS - other.tS) / count],
    [0, 0, 0],
  );
  const own = varianceOfSum(set.map(({ tS }) => tS), set.map(() => 1 / count), quick);
  const sigma = (fix.sigmaM ?? UNKNOWN_SIGMA_M) * Math.sqrt(Math.max(0, 1 + own - 2 * across));
  return Math.sqrt((fix.x - x) ** 2 + (fix.y - y) ** 2) > Math.max(LEAVES_M, LEAVES_IN_SIGMA * sigma);
}

/** Whether another minute would shrink the radius by less than a twentieth: the slow part of the error is reached. */
export function gainsLittle(seconds, process) {
  if (seconds < 5) return false;
  return 1 - Math.sqrt(meanVariance(seconds + GAIN_S, process) / meanVariance(seconds, process)) < LITTLE;
}

/** Variance of the mean over a time of standing, of variance 1: 2 (u − 1 + e^−u) / u² a part, u = time / time constant. */
function meanVariance(seconds, { parts }) {
  return parts.reduce((sum, [share, tauS]) => {
    if (tauS === 0) return sum + share / seconds;
    const u = seconds / tauS;
    return sum + share * (u < 1e-3 ? 1 - u / 3 : (2 * (u - 1 + Math.exp(-u))) / (u * u));
  }, 0);
}
