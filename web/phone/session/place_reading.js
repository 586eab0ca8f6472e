// A place of a site being read: somebody stands on it and holds the phone still. No plan of the course is needed.

import { createFrame } from '../geometry/frame.js';
import { gainsLittle, beginHolding } from './holding.js';
import { ageWords, positions } from './holding_words.js';
import { unknownReceiver, processOf } from './gauge.js';
import { radiusWords } from './lengths.js';
import { readingRecord } from './peg_records.js';
import { placeSample, sampleOf } from './placing.js';
import { isVague, troubleWords } from './wording.js';

/** How long to stand, seconds: errors of a phone hardly shrink further after that. */
export const ADVISED_S = 120;
export const LEAST_S = 20;
const STALE_S = 5;
const FRAME_REACH_M = 2000;
const LONGEST_NAME = 40;
export const KINDS = [['peg', 'Peg'], ['tee', 'Tee'], ['turn', 'Turning point'], ['green', 'Green']];
const NAMES = { peg: 'Peg', tee: 'Tee', turn: 'Turning point', green: 'Middle of the green' };

/** What to do here about a trouble that the other pages answer under More. */
const HERE = {
  refused: 'Location is refused for this page. Allow it in the browser, then open this page again.',
  missing: 'This browser has no location at all. Use another one.',
};

/** A receiver that has given nothing yet; `gauge` is what is known of it. */
export const beginReading = (gauge = unknownReceiver) => ({ gauge, practice: null, frame: null, fix: null, place: null, holding: null, trouble: null, hasMoved: false });

/** A plane about a position, metres east and north: enough to take means on. */
const planeAbout = ({ latDeg, lonDeg }) => createFrame({ origin: [latDeg, lonDeg, 0], x: [0, 1000, 0, 0, 0, 0, 0, 0, 0, 0], y: [0, 0, 1000, 0, 0, 0, 0, 0, 0, 0] });

/** The reading after a fix {latDeg, lonDeg, accuracyM, speedMS, at}: the plane goes along with somebody who walks far. */
export function withFix(state, fix) {
  const frame = frameFor(state, fix);
  const [x, y] = frame.toCourse(fix.latDeg, fix.lonDeg);
  const job = { ...state, frame };
  const { place, holding } = placeSample(job, sampleOf(job, fix, { x, y }));
  const hasMoved = holding?.left ?? false;
  return { ...job, fix, trouble: null, place, holding: hasMoved ? null : holding, hasMoved: state.hasMoved || hasMoved };
}

function frameFor({ frame, holding }, fix) {
  if (frame === null) return planeAbout(fix);
  const [x, y] = frame.toCourse(fix.latDeg, fix.lonDeg);
  return holding === null && Math.max(Math.abs(x), Math.abs(y)) > FRAME_REACH_M ? planeAbout(fix) : frame;
}

/** Holding still from now (ms), or walking on. */
export const holdOrWalk = (state, nowMs) => ({ ...state, holding: state.holding === null ? beginHolding(nowMs) : null, hasMoved: false });

/** What the page says of it at a time (ms): {label, note, canSave, share}; `share` of the time to stand, 0 to 1. */
export function readingModel(state, nowMs) {
  const { place, holding, trouble, hasMoved } = state;
  const nothing = { canSave: false, share: 0 };
  if (place === null) return { ...nothing, label: 'No position', note: HERE[trouble] ?? troubleWords(trouble) };
  const staleS = Math.round((nowMs - state.fix.at) / 1000);
  if (staleS > STALE_S) return { ...nothing, label: 'Old position', note: `No new position for ${staleS} s. Wait for one.` };
  if (place.radius95M === null) return { ...nothing, label: 'How well is not known', note: 'This receiver gives no accuracy figure, so the desk could not say what the place is worth.' };
  const label = `Within ${radiusWords(place.radius95M, 'metre')} (95 %)`;
  if (isVague(place.radius95M)) return { ...nothing, label, note: 'Too poor to take. Go into the open and wait.' };
  if (holding === null) return { ...nothing, label, note: hasMoved ? 'You have moved, so the reading ended. Stand still and hold again.' : 'Stand on the place, then press Hold still.' };
  const seconds = holding.reading?.seconds ?? 0;
  return { label, note: standingWords(state, seconds), canSave: seconds >= LEAST_S, share: Math.min(1, seconds / ADVISED_S) };
}

function standingWords({ holding, gauge }, seconds) {
  const stood = `${ageWords(seconds)}, ${positions(holding.reading?.fixes ?? 0)}.`;
  if (seconds < LEAST_S) return `${stood} Stand for ${LEAST_S} s at least, better two minutes.`;
  if (seconds < ADVISED_S && !gainsLittle(seconds, processOf({ gauge }))) return `${stood} Go on to two minutes where you can.`;
  return `${stood} Standing longer gains little now.`;
}

/** What is wrong with what is typed, {what, hole, name}; null when the place can be kept. */
export function placeFault({ what, hole, name }, person) {
  if (person === '') return 'Write your name first: the desk sees who read a place.';
  if (!/^\d{0,3}$/.test(hole)) return 'The hole is a whole number.';
  if (hole === '' && what !== 'peg') return 'Give the number of the hole.';
  if (name === '' && what !== 'green') return what === 'turn' ? 'Give the number of the turning point, 1 nearest to the tee.' : `Give the ${what} a name.`;
  return name.length > LONGEST_NAME ? `A name has at most ${LONGEST_NAME} letters.` : null;
}

/** The record of a place that was read: `typed` is {what, hole, name}, `stamp` {id, at}. */
export function placeRecord(state, typed, { site, person, device }, { id, at }) {
  return {
    id, kind: 'place', site, hole: Number(typed.hole || 0), made_at: new Date(at).toISOString(), person, device, practice: false,
    receiver: 'phone', what: typed.what, name: nameOf(typed), reading: readingRecord(state, state.place), note: '',
  };
}

const nameOf = ({ what, name }) => (what === 'green' ? 'green' : name);

/** The record that takes a place back. */
export function takenBack({ id: undoes, site, hole, person, device }, { id, at }) {
  return { id, kind: 'undo', site, hole, made_at: new Date(at).toISOString(), person, device, practice: false, undoes };
}

/** The places of this phone that stand, newest first: [{record, words}]. */
export function placesRead(records, site) {
  const own = records.filter((r) => r.site === site);
  const gone = new Set(own.filter((r) => r.kind === 'undo').map((r) => r.undoes));
  return own.filter((r) => r.kind === 'place' && !gone.has(r.id)).reverse().map((record) => ({ record, words: placeWords(record) }));
}

export function placeWords({ what, hole, name, reading }) {
  const where = hole > 0 ? `, hole ${hole}` : '';
  const called = what === 'green' ? '' : ` ${name}`;
  return `${NAMES[what]}${called}${where}, within ${radiusWords(reading.radius95_m, 'metre')}`;
}

/** The name to propose next: a turning point counts on, everything else starts empty. */
export function nextName(what, hole, records, site) {
  if (what !== 'turn') return '';
  const numbers = placesRead(records, site).map(({ record }) => record).filter((r) => r.what === 'turn' && r.hole === Number(hole)).map((r) => Number(r.name));
  return String(1 + Math.max(0, ...numbers.filter(Number.isFinite)));
}
