// A check-in: a reading on a peg of known place, and its worth later. Twin of fieldapp/reading/check_in.py.

import { partVariance, tausWithin, worstVariance } from './process.js';
import { R95_IN_SIGMA } from './verdict.js';

const STEPS = 100;

/** The check-in that a reading of `combine` on a peg {x, y} in course metres is; seconds on the clock of the fixes. */
export function checkInOf(reading, peg, madeAtS) {
  return {
    shiftX: reading.x - peg.x,
    shiftY: reading.y - peg.y,
    madeAtS,
    sigmaM: reading.sigmaM,
    radius95M: reading.radius95M,
    keptS: reading.keptS,
  };
}

/** The check-in that a trial is: the offset it found, as of its last fix. It decays as any other. */
export function checkInOfTrial(trial) {
  return {
    shiftX: trial.offsetX,
    shiftY: trial.offsetY,
    madeAtS: trial.keptS[trial.keptS.length - 1],
    sigmaM: trial.scatterM,
    radius95M: trial.offsetRadius95M,
    keptS: trial.keptS,
  };
}

/** A reading with a check-in taken into account: {x, y, radius95M, applied (0 to 1 of the shift), ageS}. */
export function corrected(reading, checkIn, process) {
  const { applied, radius95M } = residual(reading.keptS, reading.sigmaM, checkIn, process);
  return {
    x: reading.x - applied * checkIn.shiftX,
    y: reading.y - applied * checkIn.shiftY,
    radius95M: applied > 0 ? radius95M : reading.radius95M,
    applied,
    ageS: reading.keptS[reading.keptS.length - 1] - checkIn.madeAtS,
  };
}

/** How far a shift that never fades, as of a grid, may still hold a reading off with so much taken off; null where unknown. */
export function lastingShift95M({ shiftX, shiftY, radius95M }, applied) {
  return radius95M === null ? null : (1 - applied) * (Math.sqrt(shiftX ** 2 + shiftY ** 2) + radius95M);
}

/** What a check-in is worth to one fix `ageS` after it: {radius95M, without95M, applied}; null where unknown. */
export function worth(checkIn, process, ageS) {
  const { applied, radius95M } = residual([checkIn.madeAtS + ageS], checkIn.sigmaM, checkIn, process);
  const without95M = checkIn.sigmaM === null ? null : R95_IN_SIGMA * checkIn.sigmaM;
  return { radius95M: applied > 0 ? radius95M : without95M, without95M, applied };
}

/** The 95 % radius of a mean of fixes at these times once the check-in is taken into account. */
export function radius95With(timesS, sigmaM, checkIn, process) {
  const { applied, radius95M } = residual(timesS, sigmaM, checkIn, process);
  if (applied > 0 && radius95M !== null) return radius95M;
  return R95_IN_SIGMA * sigmaM * Math.sqrt(worstVariance(timesS, timesS.map(() => 1 / timesS.length), process));
}

/** The part of the shift to take off a mean of fixes at these times, and the 95 % radius that remains. */
function residual(timesS, sigmaM, checkIn, { parts, spread }) {
  if (sigmaM === null || checkIn.sigmaM === null) return { applied: 0, radius95M: null };
  const moments = parts.map(([, tauS]) => momentsOf(timesS, sigmaM, checkIn, tausWithin(tauS, spread)));
  const remaining = (applied) =>
    parts.reduce((sum, [share], index) => sum + share * worst(moments[index], applied), 0);
  let best = { applied: 0, variance: remaining(0) };
  for (let step = 1; step <= STEPS; step += 1) {
    const variance = remaining(step / STEPS);
    if (variance < best.variance) best = { applied: step / STEPS, variance };
  }
  return { applied: best.applied, radius95M: R95_IN_SIGMA * Math.sqrt(best.variance) };
}

function worst(moments, applied) {
  return Math.max(...moments.map(([own, shared, ofShift]) => own - 2 * applied * shared + applied ** 2 * ofShift));
}

/** For each time constant: the reading's variance, its covariance with the shift, the shift's variance. */
function momentsOf(timesS, sigmaM, checkIn, taus) {
  const ours = timesS.map((time) => [time, sigmaM / timesS.length]);
  const theirs = checkIn.keptS.map((time) => [time, checkIn.sigmaM / checkIn.keptS.length]);
  const both = [...ours, ...theirs].sort((a, b) => a[0] - b[0]);
  const variance = (sum, tauS) =>
    partVariance(
      sum.map(([time]) => time),
      sum.map(([, weight]) => weight),
      tauS,
    );
  return taus.map((tauS) => {
    const [own, ofShift] = [variance(ours, tauS), variance(theirs, tauS)];
    return [own, (variance(both, tauS) - own - ofShift) / 2, ofShift];
  });
}
