// A lost peg set again: where to put it, and what taping it from other pegs says afterwards.

import { MOST_TIES, resetPeg } from '../geometry/reset.js';
import { levelDistance } from '../geometry/slope.js';
import { tieSheet } from '../geometry/ties.js';
import { bunkerOf } from './job.js';
import { resultOf } from './reset_words.js';
import { isInPlace, ownReports } from './standing_pegs.js';
import { pegsNear } from './bunker_pegs.js';
import { tapeOf } from './tape.js';
import { tapePegs, tiePeg } from './tape_pegs.js';
import { sketchOf, tracePlaces } from './tape_sketch.js';
import { pullWords, tapeParts, tapeSign, tapeWords, typedTape } from './tape_words.js';
import { tiedWords, whyWords } from './tie_words.js';

const STATES = { planned: 'planned, not driven yet', moved: 'was reported moved', missing: 'was reported missing', found: 'found', new: 'new', reset: 'set again before' };

/** The pegs to choose from, lost and planned ones first: rows for view/tape_rows.js. */
export function lostRows(job, pegs) {
  const near = pegsNear(job, pegs);
  const rank = (peg) => (isInPlace(peg) ? 2 : Number(peg.state === 'planned'));
  return near.sort((one, other) => rank(one) - rank(other)).map((peg) => ({
    name: peg.id, label: `Peg ${peg.id}`, words: `${STATES[peg.state] ?? 'as planned'}${peg.note ? `: ${peg.note}` : ''}`, state: rank(peg) === 0 ? 'bad' : null,
  }));
}

/** This phone's newest report that a peg of the bunker was set by ties, which undo takes back; null without any. */
export const lastReset = (job) => ownReports(job).filter(({ placed_by: by, bunker }) => by === 'ties' && bunker === job.bunkerId).at(-1) ?? null;

/** The model of one lost peg: `typed` what was typed by the id of the other peg, `side` the side chosen by hand or null. */
export function resetModel(job, pegs, { lost, typed, side }) {
  const unit = job.bundle.site.units.ground;
  const peg = pegs.find(({ id }) => id === lost);
  const place = tiePeg(peg, job.bundle.frame.ground_scale);
  const { usable, leftOut } = tapePegs(job, pegs.filter(({ id }) => id !== lost));
  const [found] = tieSheet([place], usable, tapeOf(job));
  const used = found.ties.map((tie) => usable.find(({ id }) => id === tie.peg));
  const fields = fieldsOf(job, place, usable, used, typed);
  const ties = fields.filter(({ levelM }) => levelM !== undefined);
  const result = ties.length < 2 ? null : placed(ties, side, place);
  return {
    peg, place, unit, leftOut: leftOut.filter((words) => !words.startsWith(`${lost} `)),
    title: `Peg ${lost}`, progress: STATES[peg.state] ?? 'as planned',
    ...(found.why === '' ? tiedWords(job, found, used, 'those of the pegs') : whyWords(job, found.why, place, usable)),
    fields: fields.map((field) => ({ ...field, residual: residualWords(field, ties, result, unit) })),
    sides: result?.candidates.length === 2 ? sidesOf(ties, result) : null,
    ...resultOf(job, { peg, place, fields, ties, result, found }),
    sketch: resetSketch(job, usable, used, place, ties, result),
  };
}

/** A field for every peg that the tape reaches from, those of the ties first. */
function fieldsOf(job, place, usable, used, typed) {
  const { lengthM } = tapeOf(job);
  const unit = job.bundle.site.units.ground;
  const reached = used.concat(usable.filter((peg) => !used.includes(peg))).map((peg) => ({ peg, tie: spanOf(peg, place) }));
  return reached.filter(({ tie }) => tie.readsM <= lengthM && tie.levelM > 0).slice(0, MOST_TIES).map(({ peg, tie }) => {
    const { lengthM: readM, fault } = typedTape(typed[peg.id] ?? '', unit);
    const levelM = readM === undefined ? undefined : levelDistance(readM, tie.riseM) ?? undefined;
    const tooShort = readM !== undefined && levelM === undefined ? 'Shorter than the two differ in level.' : null;
    return {
      id: peg.id, peg, typed: typed[peg.id] ?? '', should: `${tapeWords(tie.readsM, unit)}, ${pullWords(tie.isOnSlope)}`, levelM, fault: fault ?? tooShort,
      sigmaM: Math.sqrt(tapeOf(job).errorM ** 2 + peg.sigmaM ** 2), sign: tapeSign(unit),
    };
  });
}

function spanOf(peg, place) {
  const levelM = Math.sqrt((peg.x - place.x) ** 2 + (peg.y - place.y) ** 2);
  const isOnSlope = peg.levelM !== null && place.levelM !== null;
  const riseM = isOnSlope ? place.levelM - peg.levelM : 0;
  return { levelM, riseM, isOnSlope, readsM: Math.sqrt(levelM ** 2 + riseM ** 2) };
}

/** Where it is by the taped distances; of two places the one on the side chosen, else the one nearer to where it belongs. */
function placed(ties, side, place) {
  const given = ties.map(({ peg, levelM, sigmaM }) => ({ x: peg.x, y: peg.y, distanceM: levelM, sigmaM }));
  const open = resetPeg(given, side);
  if (open.kind !== 'two sides') return { ...open, side };
  const away = open.candidates.map(({ x, y }) => (x - place.x) ** 2 + (y - place.y) ** 2);
  const nearer = away[0] <= away[1] ? 'left' : 'right';
  return { ...resetPeg(given, nearer), side: nearer };
}

function sidesOf(ties, { side }) {
  const [first, last] = [ties[0].peg.id, ties.at(-1).peg.id];
  return { words: `Which side, looking from ${first} to ${last}?`, options: [['left', 'Left'], ['right', 'Right']], side };
}

/** How much longer or shorter a tape reads than the place found says; only where three and more say something. */
function residualWords({ id }, ties, result, unit) {
  const at = ties.findIndex((tie) => tie.id === id);
  if (at < 0 || result?.kind !== 'placed' || result.dof === 0) return '';
  const [figure, sign] = tapeParts(Math.abs(result.residualsM[at]), unit);
  if (Number(figure) === 0) return 'fits';
  return `${figure} ${sign} ${result.residualsM[at] > 0 ? 'longer' : 'shorter'} than all say`;
}

function resetSketch(job, usable, used, place, ties, result) {
  const scale = job.bundle.frame.ground_scale;
  const outlines = bunkerOf(job).outlines.map((outline) => ({ places: tracePlaces(outline, scale), isNear: true }));
  const from = ties.length > 0 ? ties.map(({ peg }) => peg) : used;
  const at = result?.xy ?? place;
  return sketchOf({
    upDeg: bunkerOf(job).play_bearing_deg, outlines, dots: [],
    pegs: usable.map((peg) => ({ ...peg, isUsed: from.includes(peg) })),
    strings: from.map((peg) => [peg, at, 'tape']), rings: from.map((peg) => [peg, at]),
    target: { x: place.x, y: place.y, label: place.id },
    fit: [place, ...usable, ...outlines.flatMap(({ places }) => places)],
  });
}
