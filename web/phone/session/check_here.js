// The yardage check where the worker stands: what it measures, how well, and what comes of it.

import { yardage } from '../geometry/yardage.js';
import { checkVerdict, range95M, settling } from '../geometry/yardage_check.js';
import { checkPlan, drawnM, drawnThrough, offLineM } from './check_plan.js';
import { frozenS } from './fix_quality.js';
import { processOf } from './gauge.js';
import { teeOf } from './job.js';

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
 * measuredM, rangeM, differenceM, radius95M, tee95M, grid95M, offLineM, ownLineM, lineEffectM, verdict, settling}, ground
 * metres. `tee95M` is null where the plate is taken as exact, `grid95M` null where nothing checks the grid's fit and
 * undefined where a plan does not state it. A position that never moves can tell nothing.
 */
export function checkHere(job, figure) {
  const { place } = job;
  const tee = teeOf(job);
  const plan = checkPlan(job, figure);
  const { straightM, alongM, offsetM } = yardage(tee.line, place.x, place.y, job.bundle.frame.ground_scale);
  const measuredM = { reach: straightM, carry: straightM, along: alongM, offset: offsetM }[figure];
  const [tee95M, grid95M] = [tee.within_m ?? null, job.bundle.hole.grid_within_m];
  const base = { differenceM: measuredM - plan.plannedM, toleranceM: plan.toleranceM, radius95M: place.radius95M, tee95M: tee95M ?? 0, grid95M: grid95M ?? 0 };
  const rangeM = range95M(base);
  const line = onOwnLine(job, figure, rangeM);
  const compared = { ...base, lineEffectM: line.lineEffectM };
  const isFrozen = frozenS(job.watch) !== null;
  return {
    figure, ...plan, measuredM, rangeM, differenceM: base.differenceM, radius95M: place.radius95M, tee95M, grid95M, ...line,
    verdict: isFrozen ? 'cannot tell' : checkVerdict(base.differenceM, rangeM, plan.toleranceM, line.lineEffectM),
    settling: isFrozen ? { kind: 'moving position' } : settling(compared, standingOf(job), processOf(job)),
  };
}

/**
 * Reach and carry are meant on the straight line to the middle. Off it, what the drawn outline measures on the worker's
 * own line tells how much of the difference that may make. A line that misses the sand by less than the position's own
 * range is taken as the one meant.
 */
function onOwnLine(job, figure, rangeM) {
  if (figure === 'along' || figure === 'offset') return { offLineM: null, ownLineM: null, lineEffectM: 0 };
  const off = offLineM(job, job.place);
  const own = drawnThrough(job, [job.place.x, job.place.y])?.[`${figure}M`] ?? null;
  const meant = drawnM(job, figure);
  if (meant === null) return { offLineM: off, ownLineM: own, lineEffectM: 0 };
  if (own !== null) return { offLineM: off, ownLineM: own, lineEffectM: own - meant };
  return { offLineM: off, ownLineM: null, lineEffectM: Math.abs(off) <= (rangeM ?? Infinity) ? 0 : null };
}

/** The reading in hand as `settling` takes it; null where the receiver gives no figure. */
function standingOf({ place: { reading, checkIn }, gauge }) {
  if (reading.sigmaM === null) return null;
  return { sigmaM: reading.sigmaM, firstS: reading.timesS[0], stoodS: reading.seconds, checkIn: checkIn === null ? null : gauge.checkIn.found };
}
