// What a peg that was set again is found to be by the tapes, in words, and what a record of it would say.

import { errorEllipse } from '../geometry/intersection.js';
import { R95_IN_SIGMA } from '../geometry/verdict.js';
import { bunkerOf } from './job.js';
import { groundWords, radiusWords } from './lengths.js';
import { tapeWords } from './tape_words.js';

/**
 * {verdict: as view/verdict_strip.js shows it or null, save: {label, note, made}}; `made` is what the record says of the peg's
 * place, {x, y, withinM, ties} in ground metres, or null where nothing can be saved.
 */
export function resultOf(job, { peg, place, fields, ties, result, found }) {
  if (fields.some(({ fault }) => fault)) return { verdict: null, save: off('A distance cannot be read', 'see above') };
  if (result === null) return { verdict: null, save: unchecked(peg, place, found) };
  if (result.kind === 'cannot meet') return { verdict: cannotMeet(result, job), save: off('The tapes do not meet', 'nothing is saved') };
  if (result.fit === 'does not fit') return { verdict: misfit(ties, result), save: off('The tapes do not fit', 'nothing is saved') };
  const { majorM } = errorEllipse(result.covariance);
  if (!Number.isFinite(majorM)) return { verdict: sign('cannot tell', 'Cannot tell', 'The pegs lie in one line with it, so the tapes do not cross. Tape from another peg.'), save: off('Not known across the line', 'nothing is saved') };
  const made = { ...result.xy, withinM: withinOf(peg, place, result, majorM), ties: ties.map(({ id, levelM }) => ({ peg: id, distance_m: levelM })) };
  return isThere(place, result) ? inPlace(job, peg, place, { ...result, majorM }, made) : besides(job, peg, place, { ...result, majorM }, made);
}

const standsWords = ({ id, state }) => (state === 'planned' ? `${id} is driven` : `${id} stands again`);
const off = (label, note) => ({ label, note, made: null });
const sign = (kind, title, detail, turnDeg = 0) => ({ kind, title, detail, turnDeg });
const apart = (place, { xy }) => Math.sqrt((xy.x - place.x) ** 2 + (xy.y - place.y) ** 2);

/** A peg of the plan keeps the plan's place: it stands as far from that as was found, and no better known than the tapes tell. */
const withinOf = ({ isOwn }, place, result, majorM) => (isOwn ? apart(place, result) : 0) + majorM;

/** Whether it may well stand where it belongs: within the 95 % ellipse of what the tapes say. */
function isThere(place, { xy, covariance: [xx, both, yy] }) {
  const [dx, dy] = [place.x - xy.x, place.y - xy.y];
  const det = xx * yy - both * both;
  return (yy * dx * dx - 2 * both * dx * dy + xx * dy * dy) / det <= R95_IN_SIGMA ** 2;
}

function unchecked(peg, place, { ties, ellipse }) {
  if (ellipse === null) return off('Two pegs are needed', 'to set it by');
  const made = { x: place.x, y: place.y, withinM: ellipse.majorM, ties: ties.slice(0, 2).map(({ peg: id, levelM }) => ({ peg: id, distance_m: levelM })) };
  return { label: standsWords(peg), note: 'set by two distances, not taped again', made };
}

function cannotMeet({ gapM }, job) {
  const by = tapeWords(Math.abs(gapM), job.bundle.site.units.ground);
  return sign('cannot tell', 'The tapes cannot meet', gapM > 0 ? `They are ${by} too short together. Read both again.` : `One is ${by} too long for the other. Read both again.`);
}

function misfit(ties, { fault }) {
  if (fault !== null) return sign('cannot tell', 'The tapes do not fit', `That from ${ties[fault].id} does not fit the others: read it again, and look whether ${ties[fault].id} has moved.`);
  const more = ties.length === 3 ? 'Read them again; a fourth would tell which.' : 'Read them again.';
  return sign('cannot tell', 'The tapes do not fit', `One is misread, or a peg has moved. ${more}`);
}

function inPlace(job, peg, place, result, made) {
  const unit = job.bundle.site.units.ground;
  const found = `${groundWords(apart(place, result), unit, result.majorM)} off, known within ${radiusWords(result.majorM, unit)}`;
  const save = { label: standsWords(peg), note: result.dof > 0 ? `${made.ties.length} tapes fit` : 'two tapes, no check', made };
  if (result.dof === 0) return { verdict: sign('cannot tell', 'In place, unchecked', `${found}. Two tapes meet even if one is misread: tape a third.`), save };
  return { verdict: sign('inside', 'In its place', `${found}; all ${made.ties.length} tapes fit.`), save };
}

/** It stands beside its place: a peg of the plan has to go there; one that a crew made may stay where it is now. */
function besides(job, peg, place, result, made) {
  const unit = job.bundle.site.units.ground;
  const bearing = (Math.atan2(place.x - result.xy.x, place.y - result.xy.y) * 180) / Math.PI;
  const detail = `Known within ${radiusWords(result.majorM, unit)}${result.dof === 0 ? ', unchecked' : ''}. Move it as the arrow shows (up is to the green) and tape again.`;
  const verdict = sign('outside', `${groundWords(apart(place, result), unit, result.majorM)} from its place`, detail, bearing - bunkerOf(job).play_bearing_deg);
  return { verdict, save: peg.isOwn ? off('Not in its place', 'the plan says where it belongs') : { label: `${peg.id} stands here now`, note: 'its place becomes where it was taped', made } };
}
