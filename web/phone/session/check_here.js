// The yardage check where the worker stands: what it measures, how well, and what comes of it.

import { straightRange95M, yardage } from '../geometry/yardage.js';
import { checkVerdict, range95M, settling } from '../geometry/yardage_check.js';
import { checkPlan, drawnM, drawnThrough, offLineM, slopeThrough } from './check_plan.js';
import { frozenS } from './fix_quality.js';
import { processOf } from './gauge.js';
import { gridHere } from './grid_here.js';
import { bunkerOf, teeOf } from './job.js';

/** Why no check can be taken now: 'no tee', 'nothing to compare', 'no position', 'far away', 'old position'; null when one can. */
export function whyNoCheck(job, aim, figure) {
  if (teeOf(job) === null) return 'no tee';
  if (checkPlan(job, figure) === null) return 'nothing to compare';
  if (aim.place === null) return 'no position';
  if (aim.place.awayM !== null) return 'far away';
  return aim.staleS === null ? null : 'old position';
}

/**
 * The check of a figure ('reach' | 'carry' | 'along' | 'offset') at the job's place: {figure, plannedM, basis, toleranceM,
 * measuredM, rangeM, differenceM, radius95M, tee95M, grid95M, gridBasis, offLineM, ownLineM, lineEffectM, edgeSlope, verdict,
 * settling}, ground metres. `tee95M` is null where the plate is taken as exact, as the origin of all yardages; `grid95M` and
 * `gridBasis` are those of `gridHere`. A position that never moves can tell nothing.
 */
export function checkHere(job, figure) {
  const { place } = job;
  const tee = teeOf(job);
  const plan = checkPlan(job, figure);
  const { straightM, alongM, offsetM } = yardage(tee.line, place.x, place.y, job.bundle.frame.ground_scale);
  const measuredM = { reach: straightM, carry: straightM, along: alongM, offset: offsetM }[figure];
  const [tee95M, grid, line] = [tee.within_m ?? null, gridHere(job), onOwnLine(job, figure)];
  const differenceM = measuredM - plan.plannedM;
  const { lineEffectM, edgeSlope } = line;
  const compared = { differenceM, toleranceM: plan.toleranceM, radius95M: place.radius95M, tee95M: tee95M ?? 0, grid95M: grid.grid95M, lineEffectM, edgeSlope };
  const rangeM = range95M(compared);
  const isFrozen = frozenS(job.watch) !== null;
  return {
    figure, ...plan, measuredM, rangeM, differenceM, radius95M: place.radius95M, tee95M, ...grid, ...line,
    verdict: isFrozen ? 'cannot tell' : checkVerdict(differenceM, rangeM, plan.toleranceM, lineEffectM),
    settling: isFrozen ? { kind: 'moving position' } : settling(compared, standingOf(job), processOf(job)),
  };
}

/**
 * Reach and carry are meant on the straight line to the middle. Off it, what the drawn outline measures on the worker's
 * own line tells how much of the difference that may make, and the slope of the edge there how much an error across makes
 * of that. A line that misses the sand by no more than the position errs is taken as the one meant; so is one where
 * nothing is drawn to compare with.
 */
function onOwnLine(job, figure) {
  if (figure === 'along' || figure === 'offset') return { offLineM: null, ownLineM: null, lineEffectM: 0, edgeSlope: 0 };
  const { x, y, radius95M } = job.place;
  const off = offLineM(job, job.place);
  const own = drawnThrough(job, [x, y])?.[`${figure}M`] ?? null;
  const meant = drawnM(job, figure);
  const edgeSlope = slopeThrough(job, figure, own === null ? bunkerOf(job).middle : [x, y]);
  if (own !== null && meant !== null) return { offLineM: off, ownLineM: own, lineEffectM: own - meant, edgeSlope };
  const isOnIt = radius95M === null || Math.abs(off) <= straightRange95M(radius95M);
  return { offLineM: off, ownLineM: own, lineEffectM: isOnIt ? 0 : null, edgeSlope };
}

/** The reading in hand as `settling` takes it; null where the receiver gives no figure. */
function standingOf({ place: { reading, checkIn }, gauge }) {
  if (reading.sigmaM === null) return null;
  return { sigmaM: reading.sigmaM, firstS: reading.timesS[0], stoodS: reading.seconds, checkIn: checkIn === null ? null : gauge.checkIn.found };
}
