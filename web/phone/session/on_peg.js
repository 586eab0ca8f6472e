// Standing on a peg: a trial of the receiver, or a check-in. Fixes are gathered as the receiver gives them.

import { checkInOf, checkInOfTrial } from '../geometry/check_in.js';
import { combine } from '../geometry/combine.js';
import { LEAST_FIXES as LEAST_TRIAL_FIXES, LEAST_S, trialOf } from '../geometry/trial.js';
import { processOf } from './gauge.js';
import { hasLeft } from './holding.js';
import { groundWords } from './lengths.js';
import { evenly } from './thinning.js';

/** How long to stand, seconds: at least, and as advised. */
export const STANDING_S = { trial: { least: LEAST_S, advised: 300 }, 'check-in': { least: 20, advised: 60 } };
const GAP_S = 0.9;
const CHECK_IN_FIXES = 60;
const STRIKES = 2;
const LEAST_FIXES = { trial: LEAST_TRIAL_FIXES, 'check-in': 10 };
const MOST_RADII = 2;

const REFUSED = {
  'too short': 'That was too short for a trial. Stand for a minute at least, better five.',
  'too few': 'Too few positions came for a trial. Stand longer, in the open.',
  held: 'The receiver hardly moved its position, so nothing can be learnt of its errors: the phone may be holding it still.',
  'out of order': 'The positions came out of order in time. Begin again.',
};

/** The job with somebody on a peg from now (ms); any holding still has ended. */
export function standOnPeg(job, purpose, pegId, nowMs) {
  const peg = job.bundle.pegs.find(({ id }) => id === pegId);
  return { ...job, holding: null, onPeg: { purpose, peg, since: nowMs, samples: [], strikes: 0, left: false, isAnew: false } };
}

/**
 * What has been gathered on a peg after one more sample; null when nobody stands on one. A sample older than the last
 * means that the phone's clock was put back: the standing begins anew with it.
 */
export function onPegWith({ onPeg: before, gauge }, sample) {
  if (before === null || before.left) return before;
  const isBack = sample.tS < before.samples.at(-1)?.tS;
  const onPeg = isBack ? { ...before, since: 1000 * sample.tS, samples: [], strikes: 0, isAnew: true } : before;
  const last = onPeg.samples.at(-1);
  if (last && (sample.tS - last.tS < GAP_S || (sample.x === last.x && sample.y === last.y))) return onPeg;
  const strikes = hasLeft(onPeg.samples, sample, processOf({ gauge })) ? onPeg.strikes + 1 : 0;
  if (strikes >= STRIKES) return { ...onPeg, left: true };
  return { ...onPeg, strikes, samples: onPeg.samples.concat([{ ...sample, isStray: strikes > 0 }]) };
}

/** What is left of standing on a peg when a plan comes by which the peg or the grid is elsewhere: nothing to keep. */
export const offThePlan = (onPeg) => onPeg && { ...onPeg, left: true, why: 'plan' };

/** Seconds stood, by the fixes themselves. */
export function stoodS({ samples }) {
  return samples.length === 0 ? 0 : samples.at(-1).tS - samples[0].tS;
}

/** Whether enough was gathered to end with a result. */
export function canFinish(onPeg) {
  return !onPeg.left && onPeg.samples.length >= LEAST_FIXES[onPeg.purpose] && stoodS(onPeg) >= STANDING_S[onPeg.purpose].least;
}

/**
 * What the standing found: {reading, checkIn} of a check-in, {reading, trial, checkIn} of a trial, which is a check-in
 * too; `fault` is a sentence instead when it can be no use.
 */
export function foundOnPeg(job) {
  const { purpose, peg, samples } = job.onPeg;
  const reading = combine(samples, processOf(job));
  const fault = pegFault(job, reading);
  if (fault !== null) return { fault };
  if (purpose === 'trial') {
    const trial = trialOf(samples, peg);
    if (trial.refused !== null) return { fault: REFUSED[trial.refused] };
    return { reading, trial, checkIn: checkInOfTrial({ ...trial, keptS: evenly(trial.keptS, CHECK_IN_FIXES) }) };
  }
  const few = combine(evenly(samples, CHECK_IN_FIXES), processOf(job));
  return { reading: few, checkIn: checkInOf(few, peg, few.timesS[1]) };
}

function pegFault({ bundle, onPeg: { purpose, peg } }, reading) {
  if (reading.sigmaM === null && purpose === 'check-in') {
    return 'This receiver gives no accuracy figure, so what a check-in is worth cannot be told. Do a trial of the receiver first.';
  }
  const awayM = Math.sqrt((reading.x - peg.x) ** 2 + (reading.y - peg.y) ** 2);
  if (reading.radius95M === null || awayM <= MOST_RADII * reading.radius95M) return null;
  const away = groundWords(awayM * bundle.frame.ground_scale, bundle.site.units.ground, reading.radius95M);
  return `The receiver puts you ${away} from peg ${peg.id}, more than its errors explain. See which peg you stand on, and begin again.`;
}

/** The pegs to choose from: control pegs first, each kind nearest first: [{id, kind, note, awayM (ground, null without a place)}]. */
export function pegChoices(job) {
  const here = job.place !== null && job.place.awayM === null ? job.place : null;
  const scale = job.bundle.frame.ground_scale;
  const away = ({ x, y }) => here && Math.sqrt((x - here.x) ** 2 + (y - here.y) ** 2) * scale;
  const pegs = job.bundle.pegs.map((peg) => ({ id: peg.id, kind: peg.kind, note: peg.note, awayM: away(peg) }));
  return pegs.sort((a, b) => (b.kind === 'control') - (a.kind === 'control') || a.awayM - b.awayM);
}
