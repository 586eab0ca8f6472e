// Setting out by tape: what is shown of one paint point and its ties, made from the job, the pegs and what was chosen.

import { POOR_CROSSING_DEG, tieSheet } from '../geometry/ties.js';
import { outlineOf } from './job.js';
import { radiusWords, toleranceWords } from './lengths.js';
import { tapeButton, tapeUndo } from './tape_button.js';
import { pegTruthWords, tapeOf, tapePegs } from './tape_pegs.js';
import { groundOf, pointChoices, tiePoints } from './tape_points.js';
import { sketchOf } from './tape_sketch.js';
import { tapeParts, tapeWords } from './tape_words.js';

const ALIKE_M = 0.005;

/**
 * The model of the screen. `job` is aimed at an outline and its counted marks; `number` the point, `only` the ids of the pegs
 * to use or null for all, `pegs` as they stand.
 */
export function tieModel(job, pegs, { number, only }) {
  const scale = job.bundle.frame.ground_scale;
  const { usable, leftOut } = tapePegs(job, pegs);
  const chosen = only === null ? usable : usable.filter(({ id }) => only.includes(id));
  const points = tiePoints(outlineOf(job), scale);
  const point = points.find((p) => p.number === number) ?? points[0];
  const [found] = tieSheet([point], chosen, tapeOf(job));
  const used = found.ties.map((tie) => usable.find(({ id }) => id === tie.peg));
  return {
    point, found, used, leftOut,
    ...pointChoices(job, points),
    ...pegChoices(usable, only),
    ...(found.why === '' ? tiedWords(job, found, used) : whyWords(job, found.why, point, chosen)),
    button: tapeButton(job, point.number, found.why === '' ? null : 'No ties for it. Press again if it is painted.'),
    undo: tapeUndo(job),
    sketch: tieSketch(job, usable, used, point, points),
  };
}

/** The pegs to choose from, and in words which are used. */
function pegChoices(usable, only) {
  return {
    pegs: usable.map(({ id }) => ({ id, isOn: only === null || only.includes(id) })),
    pegWords: only === null ? 'best of all' : `only ${only.join(', ') || 'none'}`,
  };
}

/** What is said of a point with ties. */
function tiedWords(job, found, used) {
  const unit = job.bundle.site.units.ground;
  const [first, second, check] = found.ties;
  return {
    rows: [first, second].map((tie) => tieRow(tie, `Hook ${tie.peg} on`, unit)),
    side: `${found.side === 'left' ? 'Left' : 'Right'} of the line, looking from ${first.peg} to ${second.peg}`,
    check: check ? { ...tieRow(check, `Check from ${check.peg}`, unit), within: `± ${radiusWords(found.checkWithinM, unit)}` } : null,
    error: `Within ${radiusWords(found.ellipse.majorM, unit)} of its place, 95 of 100 times`,
    basis: `tape ± ${radiusWords(tapeOf(job).errorM, unit)} (68 of 100), ${pegTruthWords(used.slice(0, 2))}; ${levelWords(job, found.ties)}`,
    poor: poorWords(job, found),
    why: null,
  };
}

/** A distance to tape, on the slope where both levels are known; held level where that reads otherwise. */
export function tieRow({ peg, levelM, slopeM }, words, unit) {
  const [figure, sign] = tapeParts(slopeM ?? levelM, unit);
  const isSloped = slopeM !== null && slopeM - levelM >= ALIKE_M;
  return { peg, words, figure, sign, note: isSloped ? `along the slope; ${tapeWords(levelM, unit)} held level` : '' };
}

function levelWords(job, ties) {
  const { levels_basis: basis } = outlineOf(job);
  return ties.some(({ slopeM }) => slopeM === null) ? 'ground taken as level: hold the tape level' : `levels: ${basis}`;
}

/** Why the place will be poor, or null: tapes that cross flat, or an error beyond the tolerance. */
function poorWords(job, { crossingDeg, ellipse }) {
  const { ground } = job.bundle.site.units;
  const tolerance = job.bundle.site.tolerance_m;
  if (crossingDeg < POOR_CROSSING_DEG) return `The tapes cross flat, at ${Math.floor(crossingDeg)}°: a small slip moves the point far. Choose other pegs, or measure from the string.`;
  return ellipse.majorM > tolerance ? `That is more than the tolerance of ${toleranceWords(tolerance, ground)}.` : null;
}

function whyWords(job, why, point, chosen) {
  const unit = job.bundle.site.units.ground;
  const { lengthM } = tapeOf(job);
  const away = chosen.map(({ id, x, y }) => ({ id, m: Math.sqrt((x - point.x) ** 2 + (y - point.y) ** 2) })).sort((a, b) => a.m - b.m);
  const tape = tapeWords(lengthM, unit);
  const [title, detail] = {
    'no peg in reach': ['No peg in reach', away.length === 0 ? 'No peg is in place here. Report pegs that you find, or set new ones, under Pegs.' : `The nearest is ${away[0].id}, ${tapeWords(away[0].m, unit)} away; the tape is ${tape} long.`],
    'one peg in reach': ['Only one peg in reach', `A point needs two pegs within ${tape}${away.length > 1 ? `; the next is ${away[1].id}, ${tapeWords(away[1].m, unit)} away` : ''}.`],
    'pegs in line': ['The pegs lie in one line', 'The point lies in the line of the pegs, so their tapes do not cross there. Use another peg.'],
  }[why];
  return { rows: [], side: null, check: null, error: null, basis: null, poor: null, why: { title, detail } };
}

function tieSketch(job, usable, used, point, points) {
  const [first, second] = used;
  const shown = used.length > 0 ? used : usable;
  return sketchOf({
    ...groundOf(job, points),
    pegs: usable.map((peg) => ({ ...peg, isUsed: used.slice(0, 2).includes(peg) })),
    strings: used.map((peg, i) => [peg, point, i < 2 ? 'tape' : 'check']).concat(second ? [[first, second, 'base']] : []),
    rings: used.map((peg) => [peg, point]),
    target: { x: point.x, y: point.y, label: String(point.number) },
    fit: points.concat(shown),
  });
}
