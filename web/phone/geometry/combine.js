// Fixes taken while standing still, combined into one reading. Twin of fieldapp/reading/combine.py.

import { worstVariance } from './process.js';
import { R95_IN_SIGMA } from './verdict.js';

const CUT_IN_SIGMA = 5;
const DOUBT = 2;
const FINEST_M = 0.01;
const R50_IN_SIGMA = Math.sqrt(-2 * Math.log(0.5));

/**
 * Combine fixes [{tS, x, y, sigmaM}] (s, course metres, one-axis sigma or null) in the order they were taken; null for
 * none at all. `radius95M` is null where a fix that was kept has no figure. `timesS` is [first, last], `keptS` all
 * times of the fixes kept. Throws RangeError for times that run backwards or a place that is no number.
 */
export function combine(fixes, process) {
  if (fixes.length === 0) return null;
  check(fixes);
  const kept = belonging(fixes);
  const count = kept.length;
  const keptS = kept.map(({ tS }) => tS);
  const [x, y] = [mean(kept.map((fix) => fix.x)), mean(kept.map((fix) => fix.y))];
  const sigmaM = sigmaOfFixes(kept, x, y);
  const share = worstVariance(keptS, keptS.map(() => 1 / count), process);
  return {
    x,
    y,
    radius95M: sigmaM === null ? null : R95_IN_SIGMA * sigmaM * Math.sqrt(share),
    plainRadius95M: sigmaM === null ? null : (R95_IN_SIGMA * sigmaM) / Math.sqrt(count),
    fixes: count,
    leftOut: fixes.length - count,
    seconds: keptS[count - 1] - keptS[0],
    sigmaM,
    timesS: [keptS[0], keptS[count - 1]],
    keptS,
  };
}

/** The fixes that belong together: none farther than 5 sigma from the middle of all. At least half always do. */
export function belonging(fixes) {
  const [middleX, middleY] = [median(fixes.map(({ x }) => x)), median(fixes.map(({ y }) => y))];
  const away = fixes.map(({ x, y }) => Math.sqrt((x - middleX) ** 2 + (y - middleY) ** 2));
  const told = fixes.map(({ sigmaM }) => sigmaM).filter(isFigure);
  const floor = told.length > 0 ? median(told) : FINEST_M;
  const most = CUT_IN_SIGMA * Math.max(median(away) / R50_IN_SIGMA, floor);
  return fixes.filter((_, index) => away[index] <= most);
}

/** The root mean square of the fixes' own sigmas, or their scatter where it belies them; null where one has none. */
function sigmaOfFixes(kept, x, y) {
  if (!kept.every(({ sigmaM }) => isFigure(sigmaM))) return null;
  const told = Math.sqrt(mean(kept.map(({ sigmaM }) => sigmaM ** 2)));
  const squares = kept.reduce((sum, fix) => sum + (fix.x - x) ** 2 + (fix.y - y) ** 2, 0);
  const seen = Math.sqrt(squares / (2 * Math.max(kept.length - 1, 1)));
  return seen > DOUBT * told ? seen : told;
}

function check(fixes) {
  if (!fixes.every(({ tS, x, y }) => Number.isFinite(tS) && Number.isFinite(x) && Number.isFinite(y))) {
    throw new RangeError('A fix has a time or a place that is no number.');
  }
  if (fixes.some(({ tS }, index) => index > 0 && tS < fixes[index - 1].tS)) {
    throw new RangeError('The fixes run backwards in time.');
  }
}

function isFigure(sigmaM) {
  return Number.isFinite(sigmaM) && sigmaM > 0;
}

function mean(numbers) {
  return numbers.reduce((sum, number) => sum + number, 0) / numbers.length;
}

/** The middle of the numbers in order, or the mean of the two middle ones. */
export function median(numbers) {
  const ordered = [...numbers].sort((a, b) => a - b);
  const half = Math.floor(ordered.length / 2);
  return ordered.length % 2 === 1 ? ordered[half] : (ordered[half - 1] + ordered[half]) / 2;
}
