// What the sheets over the page say.

import { recordsWords, refusalWords, sendFaultLines } from './fault_words.js';
import { gridHere } from './grid_here.js';
import { HAND_OVER, refusedActs } from './hand_over.js';
import { bunkerOf, teeOf } from './job.js';
import { lastingModel } from './lasting.js';
import { pageSecurityWords } from './page_security.js';
import { declinationWords, receiverKind, receiverRows } from './receiver_words.js';
import { yardageSheet } from './yardage_check.js';

/** The yardage sheet. */
export function yardageModel(job, aim) {
  const bunker = bunkerOf(job);
  const tee = teeOf(job);
  const place = aim.place?.awayM === null ? aim.place : null;
  return {
    tees: job.bundle.hole.tees.map(({ id, name }) => [id, name]),
    tee: tee.id,
    unit: job.yardageUnit,
    check: yardageSheet({ tee, bunker, place, isFar: place === null && aim.place !== null, groundScale: job.bundle.frame.ground_scale, grid95M: gridHere(job).grid95M, unit: job.yardageUnit }),
    planWords: planWords(job, bunker, tee),
  };
}

function planWords(job, bunker, tee) {
  if (bunker.plan === null) return `${bunker.name} has no planned figures.`;
  if (bunker.plan.tee === tee.id) return `${bunker.name} as planned`;
  const planned = job.bundle.hole.tees.find(({ id }) => id === bunker.plan.tee);
  return `${bunker.name} is planned from ${planned?.name ?? bunker.plan.tee}: pick that tee to compare.`;
}

/** The sheet about the position: {rows, lasting}. */
export function receiverModel(job, aim) {
  return { rows: receiverRows(job, aim, job.bundle.site.units.ground), lasting: lastingModel(job) };
}

/** The sheet of everything else. */
export function moreModel(job, outboxState, aids) {
  return {
    aids,
    up: job.up,
    receiver: receiverKind(job.practice),
    person: job.person,
    records: recordsWords(outboxState),
    notes: [job.bundle.site.name, ...job.bundle.site.notes],
    north: declinationWords(job.bundle.declination),
  };
}

/** What must not be overlooked: [{words, danger, acts}]. */
export function noticesOf({ canKeep, unkept, refused, faults, keptSince }) {
  const notices = [];
  if (unkept > 0) notices.push({ words: `This phone could not store ${unkept === 1 ? '1 record' : `${unkept} records`}. Keep this page open until all are sent, or hand them over.`, danger: true, acts: [HAND_OVER] });
  else if (!canKeep) notices.push({ words: 'This phone lets the page store nothing. Marks are sent at once; without signal they are lost when the page closes.', danger: true });
  if (refused.length > 0) notices.push({ words: refusalWords(refused), danger: true, acts: refusedActs(refused) });
  sendFaultLines(faults).forEach((words) => notices.push({ words, danger: true }));
  if (keptSince !== null) notices.push({ words: `Working with the plan kept here, ${keptSince}: the server gives none now.`, danger: false });
  return notices;
}

/** Notices without those that say the same again. */
export function once(notices) {
  return notices.filter(({ words }, i) => notices.findIndex((other) => other.words === words) === i);
}

/**
 * The start panel; `notices` are those of the plan, `security` is what `pageSecurityWords` takes, `isAppleTab` whether this
 * is a tab on an iPhone or iPad.
 */
export function startModel(job, security, isAppleTab, notices = []) {
  const { bundle, person } = job;
  const bunker = bunkerOf(job);
  const place = `${bundle.site.name}, hole ${bundle.hole.number}, revision ${bunker.revision}`;
  const warnings = notices.map(({ words }) => words).concat(bunker.near ?? [], startWarnings(job, pageSecurityWords(security), isAppleTab));
  return { title: bunker.name, place, person, warnings };
}

const ONLY_LOOKS = 'The link of this phone is to look only: the server will take no marks from it. Ask the manager for one to mark, or practise.';
const HOME_SCREEN = 'Before the first mark put this page on the home screen: tap Share, then \'Add to Home Screen\', and open it from there. '
  + 'This tab and the home screen do not share what they store. Copy the link you were sent first: the page may ask for it once more.';

function startWarnings({ bundle, role }, securityWords, isAppleTab) {
  return [securityWords, isAppleTab ? HOME_SCREEN : null, role === 'look' ? ONLY_LOOKS : null].filter(Boolean).concat(bundle.site.notes);
}

/** What is wrong with a bundle, or null. */
export function bundleFault(bundle, bunkerId) {
  if (bundle.format !== 'fieldapp-bundle') return 'What the server sent is no plan of a hole.';
  if (bundle.version !== 1) return `The plan of this hole is of version ${bundle.version}, newer than this page. Load the page again where there is signal.`;
  if (!bundle.bunkers.some((b) => b.id === bunkerId)) return 'This bunker is not in the plan of its hole any more. Go back to the site.';
  return null;
}
