// What the sheets of a trial and of a check-in say, and what a trial found in plain words.

import { worth } from '../geometry/check_in.js';
import { R68_IN_SIGMA } from '../geometry/verdict.js';
import { standingCheckIn } from './checked_in.js';
import { qualityWords } from './fix_quality.js';
import { processOf } from './gauge.js';
import { ageWords, CLOCK_CHANGED, positions } from './holding_words.js';
import { groundWords, radiusWords } from './lengths.js';
import { canFinish, pegChoices, STANDING_S, stoodS } from './on_peg.js';

const INTRO = {
  trial: ['Stand on a control peg for five minutes, one at least, with the phone as you hold it at work. The page learns how far this receiver scatters, how long its errors last and how far it is off, and uses that from then on.'],
  'check-in': ['Stand on a known peg for a minute. What the receiver is off there is taken off from then on. It fades, since the receiver\'s error changes.'],
};
const MOST_PEGS = 6;

/**
 * The model of the sheet at a time (ms). `chosen` is the peg's id or null; `found` what `foundOnPeg` gave, or null.
 */
export function pegSheetModel(job, purpose, { chosen, found }, nowMs) {
  const unit = job.bundle.site.units.ground;
  const running = job.onPeg?.purpose === purpose ? job.onPeg : null;
  const resting = running === null && found === null;
  const base = { intro: resting ? INTRO[purpose] : [], current: [], drop: null, pegs: [], running: null, outcome: [], rows: [], go: null };
  if (running !== null) return { ...base, running: runningPart(running, qualityWords(job.watch)), outcome: leftWords(running), go: runningGo(running) };
  const now = purpose === 'trial' ? trialNow(job, unit) : checkInNow(job, unit, nowMs);
  const isDone = found !== null && !found.fault;
  const pegs = isDone ? [] : pegChoices(job).slice(0, MOST_PEGS).map((peg) => pegChoice(peg, chosen, unit));
  const none = job.bundle.pegs.length === 0 ? ['This site has no pegs with known coordinates.'] : [];
  const outcome = found === null ? none : outcomeWords(purpose, found);
  return { ...base, ...now, pegs, outcome, go: !job.bundle.pegs.some(({ id }) => id === chosen) ? null : { label: `I stand on ${chosen}: begin`, able: true } };
}

function pegChoice({ id, kind, awayM }, chosen, unit) {
  const away = awayM === null ? '' : `, ${groundWords(awayM, unit, null)} away`;
  return { id, words: `Peg ${id}`, note: `${kind}${away}`, chosen: id === chosen };
}

function runningPart(onPeg, wrong) {
  const { least, advised } = STANDING_S[onPeg.purpose];
  const stood = Math.floor(stoodS(onPeg));
  const aim = stood < least ? `at least ${ageWords(least)}, better ${ageWords(advised)}` : `enough; better ${ageWords(advised)}`;
  return { figure: String(stood), unit: 's', lines: [`On peg ${onPeg.peg.id}: ${positions(onPeg.samples.length)}, ${aim}.`].concat(onPeg.isAnew ? CLOCK_CHANGED : [], wrong ?? []) };
}

function leftWords({ left, why, peg }) {
  if (!left) return [];
  return [why === 'plan' ? `A plan came in which peg ${peg.id} or the grid is elsewhere. Nothing was kept.` : `You have moved off peg ${peg.id}. Nothing was kept.`];
}

function runningGo(onPeg) {
  if (onPeg.left) return { label: 'Begin again', able: true };
  return { label: canFinish(onPeg) ? 'Finish' : 'Stand still', able: canFinish(onPeg) };
}

function outcomeWords(purpose, { fault }) {
  if (fault) return [fault];
  return [purpose === 'trial' ? 'Kept on this phone and used from now on.' : 'Checked in. It is used from now on.'];
}

/** What a standing check-in is and is still worth. */
function checkInNow(job, unit, nowMs) {
  const checkIn = standingCheckIn(job, nowMs / 1000);
  if (checkIn === null) return {};
  const ageS = nowMs / 1000 - checkIn.found.madeAtS;
  const { radius95M, without95M } = worth(checkIn.found, processOf(job), ageS);
  const shiftM = Math.sqrt(checkIn.found.shiftX ** 2 + checkIn.found.shiftY ** 2) * job.bundle.frame.ground_scale;
  return {
    current: [`Checked in on peg ${checkIn.peg}, ${ageWords(ageS)} ago: the receiver was ${radiusWords(shiftM, unit)} off.`],
    rows: [
      ['A position now, with the check-in', `within ${radiusWords(radius95M, unit)} (95 %)`],
      ['Without it', `within ${radiusWords(without95M, unit)} (95 %)`],
    ],
    drop: 'Drop this check-in',
  };
}

/** What the trial in use says of the receiver. */
function trialNow(job, unit) {
  const { trial } = job.gauge;
  if (trial === null) return {};
  const byHand = job.gauge.lasting ? ['How long its errors last is set by hand instead, under Position.'] : [];
  return { current: [`Tried on peg ${trial.peg} on ${trial.madeAt.slice(0, 10)}; in use.`, ...byHand], rows: trialRows(trial.found, unit), drop: 'Throw this trial away' };
}

/** A trial in plain words: [name, words]. */
export function trialRows(found, unit) {
  const r68M = R68_IN_SIGMA * found.scatterM;
  const offM = Math.sqrt(found.offsetX ** 2 + found.offsetY ** 2);
  const known = found.offsetRadius95M === null ? '' : `, known to ${radiusWords(found.offsetRadius95M, unit)} (95 %)`;
  return [
    ['68 of 100 positions lie within', radiusWords(r68M, unit)],
    ['Its own figure', claimWords(r68M, found.accuracyM, unit)],
    ['How long its errors last', lastingWords(found)],
    ['Off the peg in the trial', `${radiusWords(offM, unit)}${known}`],
  ];
}

function claimWords(r68M, accuracyM, unit) {
  if (accuracyM === null) return 'none given';
  const said = r68M > 1.15 * accuracyM ? 'it is worse than it says' : 'it keeps to that; a few minutes cannot prove it better';
  return `${radiusWords(accuracyM, unit)}: ${said}`;
}

function lastingWords({ parts }) {
  const said = parts.filter(([share]) => share >= 0.05).map(([share, tauS]) => {
    const percent = `${Math.round(share * 100)} %`;
    return tauS === 0 ? `${percent} is new each time` : `${percent} lasts about ${ageWords(Math.round(tauS))}`;
  });
  return said.join(', ');
}
