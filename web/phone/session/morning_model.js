// What the screens of the morning check show: its steps and verdict, the distances to tape, the pegs to see.

import { clockWords } from './clock_words.js';
import { ageWords } from './holding_words.js';
import { wayTo } from './guidance.js';
import { bunkerOf } from './job.js';
import { isBetween, isMorningBegun } from './morning_draft.js';
import { lastMorning, morningState } from './morning_records.js';
import { sinceCheck } from './morning_since.js';
import { isLong, isOnSlope } from './morning_tapes.js';
import { listWords, tapesStrip, verdictStrip } from './morning_verdict.js';
import { pullWords, tapeWords as lengthWords, tapeSign } from './tape_words.js';
import { tapeOf } from './tape.js';
import { wayLines } from './wording.js';

/** A check of yesterday says nothing of today. */
const RECENT_MS = 12 * 3600e3;
const LATE_CHECK_IN_S = 2 * 3600;
const KINDS = { control: 'Control peg.', reference: 'Reference peg.', paint: 'Paint peg.' };
/** Fewer pegs cannot check each other. */
const FEWEST = 3;
const STATES = [['found', 'Found'], ['moved', 'Moved'], ['missing', 'Missing']];

/** What the row on the first screen says; `pegs` are the bunker's as they stand. */
export function morningRowWords(job, pegs, nowMs) {
  const last = lastMorning(job);
  const advice = 'Before work goes on: do the pegs still stand where they did?';
  if (last === null || Math.abs(nowMs - Date.parse(last.made_at)) > RECENT_MS) return advice;
  const since = sinceCheck(job, pegs, last);
  if (since !== null) return `${since.title}: ${since.detail}`;
  return `${verdictStrip(said(last)).title}, checked at ${clockWords(last.made_at)}`;
}

const said = ({ verdict, reset }) => ({ verdict, reset, reasons: [], settle: [] });

/** The check-in that counts for a check begun at a time (ms): {id, peg, ageS} or null. */
export function checkInOf({ gauge: { checkIn }, bundle }, { startedAt }, nowMs) {
  if (checkIn === null || checkIn.site !== bundle.site.id) return null;
  const madeAtMs = 1000 * checkIn.found.madeAtS;
  return madeAtMs < startedAt - 1000 * LATE_CHECK_IN_S || madeAtMs > nowMs + 2000 ? null : { id: checkIn.id, peg: checkIn.peg, ageS: Math.max(0, (nowMs - madeAtMs) / 1000) };
}

/** The steps and the verdict: {steps: [{name, label, words, isDone}], strip, notes, main, other, undo}. */
export function overviewModel(job, { draft, told, checkIn, said: tapes, found, pegs, ties, unusable = [] }) {
  const isSaved = morningState(job, draft) === 'saved';
  const isUsable = unusable.length === 0;
  const seen = pegs.filter(({ id }) => draft.states[id] !== undefined).length;
  const steps = [
    { name: 'check-in', label: 'Check in on a control peg', words: checkInWords(checkIn, draft, job), isDone: checkIn !== null || draft.isCheckInLeftOut, end: checkIn === null && draft.isCheckInLeftOut ? 'left out' : 'done' },
    { name: 'tape', label: 'Tape between the pegs', words: isUsable ? tapeWords(draft, tapes, pegs.length) : 'A distance cannot be used', isDone: isUsable && tapes.finding !== null && tapes.finding.wanted === null },
    { name: 'pegs', label: 'Walk round the pegs', words: pegs.length === 0 ? 'No peg in reach' : `${seen} of ${pegs.length} seen`, isDone: pegs.length > 0 && seen === pegs.length },
  ];
  const isTaped = isUsable && tapes.finding !== null && draft.lines.every(({ typed }) => typed !== '');
  const next = steps.find(({ name, isDone }) => !isDone && !(name === 'tape' && isTaped)) ?? steps.find(({ isDone }) => !isDone);
  const isBegun = isMorningBegun(draft);
  const isShown = isBegun || pegs.length < FEWEST;
  return {
    steps, strip: isShown ? sinceSaved(job, draft, pegs) ?? verdictStrip(found) : { kind: 'cannot tell', title: 'Not checked yet', detail: 'Three steps, about ten minutes.', turnDeg: 0 },
    notes: [...told, ...notesOf(found, isBegun, ties, isSaved)],
    main: isSaved ? { name: 'anew', label: 'Begin another check' } : mainOf(next, found),
    other: isSaved ? { name: 'undo', label: 'Take it back' } : otherOf(next, isBegun && isUsable),
  };
}

/** What speaks against a check that was saved; null of one that is open. */
function sinceSaved(job, { ids: { morning } }, pegs) {
  const made = job.own.find(({ id }) => id === morning);
  return made === undefined ? null : sinceCheck(job, pegs, made);
}

function checkInWords(checkIn, draft, job) {
  if (checkIn !== null) return `Done on peg ${checkIn.peg}, ${ageWords(checkIn.ageS)} ago`;
  if (draft.isCheckInLeftOut) return 'The tapes do not need it';
  return job.bundle.pegs.some(({ kind }) => kind === 'control') ? 'So that this phone leads you nearer; may be left out' : 'This site has no control peg: leave it out';
}

function tapeWords({ lines }, { finding, lines: used }, count) {
  const open = lines.filter(({ typed }) => typed === '');
  if (finding === null && open.length === 0) return count < FEWEST ? 'Needs three pegs in reach' : 'Choose the pegs to tape between';
  if (finding === null) return listWords(open.map(({ one, other }) => `${one} to ${other}`));
  return finding.wanted === null ? `${used.length} taped` : `${used.length} taped; ${finding.wanted.join(' to ')} would tell more`;
}

const mainOf = (next, found) => (next === undefined ? { name: 'save', label: 'Save this check', note: verdictStrip(found).title } : { name: next.name, label: `Next: ${NEXT[next.name]}` });

const NEXT = { 'check-in': 'check in', tape: 'tape', pegs: 'see the pegs' };

function otherOf(next, isBegun) {
  if (next?.name === 'check-in') return { name: 'leave out', label: 'Leave it out' };
  return next !== undefined && isBegun ? { name: 'save', label: 'Save as it is' } : null;
}

function notesOf({ verdict, reset }, isBegun, ties, isSaved) {
  const notes = [];
  if (isSaved) notes.push('Saved, and sent when there is signal.');
  if (isBegun && verdict === 'go on') notes.push('That is about the pegs only. Before digging, services must have been located by those licensed to do it.');
  if (isBegun && verdict === 're-set' && ties !== null) notes.push(`Measure nothing from ${listWords(reset)} until then. From the others ${ties.left} of ${ties.all} points can be taped.`);
  return notes;
}

/** What stands in the way of a verdict: `faults` are said at their fields, those that the tapes' reckoning found are not. */
export const unusableWords = (faults, tapes) => [...(faults.some(Boolean) ? ['One of these is no distance: see below it.'] : []), ...tapes.faults];

/** The distances to tape: {lines: [{label, value, fault}], strip, wanted, pick, main}; `pick` is {pegs, one, other} to add another, or null. */
export function tapeModel(job, { draft, told, said: tapes, faults, pick, netPegs }) {
  const unit = job.bundle.site.units.ground;
  const { finding } = tapes;
  const unusable = unusableWords(faults, tapes);
  const isWaiting = draft.lines.some(({ typed }) => typed === '');
  const wanted = isWaiting || unusable.length > 0 ? null : finding?.wanted ?? null;
  const again = wanted !== null && draft.lines.some((line) => isBetween(line, ...wanted));
  return {
    intro: introWords(job, draft, netPegs),
    lines: draft.lines.map(({ one, other, typed }, i) => ({ label: `${one} to ${other}, ${tapeSign(unit)}, ${pullWords(isOnSlope(netPegs, { one, other }))}`, value: typed, fault: faults[i] })),
    told,
    strip: isWaiting && unusable.length === 0 ? null : tapesStrip(finding, unit, unusable),
    wanted: wanted === null ? null : `Tape ${wanted.join(' to ')}${again ? ' again' : ''}`,
    pick: pick === null ? null : { ...pick, pegs: netPegs.map(({ id }) => [id, id]) },
    canPick: netPegs.length >= 2,
  };
}

function introWords(job, { lines }, pegs) {
  if (pegs.length < 3) return 'Fewer than three pegs stand here: tapes cannot check them.';
  const how = 'Pull the tape straight from peg to peg, as each line says: along the slope, or held level.';
  const long = lines.some((line) => isLong(job, pegs, line)) ? ` Some of these are longer than a tape of ${lengthWords(tapeOf(job).lengthM, job.bundle.site.units.ground)}: take a longer one.` : '';
  return how + long;
}

/** The pegs to see: [{id, kind, note, way, states, chosen}]; the way from where the phone is, as far as it can tell. */
export function pegsModel(job, { draft, pegs }) {
  const unit = job.bundle.site.units.ground;
  const { place, frame, bundle } = job;
  const here = place !== null && place.awayM === null ? place : null;
  const way = (peg) => (here === null ? [] : wayLines(wayTo(frame, bundle.frame.ground_scale, bunkerOf(job).play_bearing_deg, here, peg), unit, here.radius95M));
  return {
    rows: pegs.map((peg) => ({ id: peg.id, note: [KINDS[peg.kind], peg.note].filter(Boolean).join(' '), way: way(peg).join(', '), chosen: draft.states[peg.id]?.state ?? null })),
    states: STATES,
  };
}
