// Setting out from a string between two pegs: chainage along it and square offset, point by point or at every so many metres.

import { baselineTable, pointAt, rightAngleSides, squaresTo } from '../geometry/baseline.js';
import { bunkerOf, outlineOf } from './job.js';
import { radiusWords, toleranceWords } from './lengths.js';
import { tapeButton, tapeUndo } from './tape_button.js';
import { tapeOf } from './tape.js';
import { pegTruthWords, tapePegs } from './tape_pegs.js';
import { groundOf, pointChoices, tiePoints } from './tape_points.js';
import { sketchOf, tracePlaces } from './tape_sketch.js';
import { squareUnitM, tapeParts, tapeSign, tapeWords } from './tape_words.js';

const AHEAD_M = 0.005;

/**
 * The model of the screen: `startId` and `endId` are ids of pegs or null for the string that serves best, `everyM` null for the
 * paint points, `number` that in hand, `index` the square in hand.
 */
export function lineModel(job, pegs, { startId, endId, everyM, number, index }) {
  const { usable, leftOut } = tapePegs(job, pegs);
  const points = tiePoints(outlineOf(job), job.bundle.frame.ground_scale);
  const ends = endsOf(job, usable, [startId, endId]);
  const base = { ...pointChoices(job, points), undo: tapeUndo(job), leftOut, pegs: usable.map(({ id }) => id), startId: ends?.[0].id ?? null, endId: ends?.[1].id ?? null, everyM };
  if (ends === null) return { ...base, ...withoutString(job, usable, points) };
  const rows = everyM === null ? pointRows(job, points, ends) : squareRows(job, everyM, ends);
  const at = everyM === null ? points.findIndex((point) => point.number === number) : Math.min(index, rows.length - 1);
  const row = rows[Math.max(at, 0)] ?? null;
  return { ...base, ...rowWords(job, row, ends), ...listOf(job, rows, ends), ...handled(job, row, rows, everyM), sketch: lineSketch(job, usable, points, ends, row) };
}

/** The two pegs of the string; null where there are no two. */
function endsOf(job, usable, ids) {
  const named = ids.map((id) => usable.find((peg) => peg.id === id));
  return named.every(Boolean) && named[0].id !== named[1].id ? named : usualEnds(job, usable);
}

/** The two pegs between which a string does best by the bunker's worst paint point, beside the bunker where it can be. */
function usualEnds(job, usable) {
  const points = bunkerOf(job).outlines.flatMap((outline) => tiePoints(outline, job.bundle.frame.ground_scale));
  const strings = usable.flatMap((one, i) => usable.slice(i + 1).map((other) => stringOf(job, points, [one, other])));
  const best = strings.reduce((least, string) => (least === null || isBetter(string, least) ? string : least), null);
  return best === null ? null : best.ends;
}

/** The string {ends, crosses: whether it runs over the bunker, worstM}. */
function stringOf(job, points, ends) {
  const rows = baselineTable(points, ...ends, tapeOf(job), unitOf(job));
  const sides = new Set(rows.filter(({ isOnString }) => isOnString).map(({ offsetM }) => offsetM > 0));
  return { ends, crosses: sides.size > 1, worstM: Math.max(...rows.map(({ ellipse }) => ellipse.majorM)) };
}

const isBetter = (one, other) => (one.crosses === other.crosses ? one.worstM < other.worstM : other.crosses);

const unitOf = (job) => squareUnitM(job.bundle.site.units.ground);

function pointRows(job, points, [start, end]) {
  return baselineTable(points, start, end, tapeOf(job), unitOf(job)).map((row, i) => ({ ...row, number: points[i].number, place: points[i] }));
}

/** Every place where the squares of the string meet the outline. */
function squareRows(job, everyM, [start, end]) {
  const trace = tracePlaces(outlineOf(job), job.bundle.frame.ground_scale).map(({ x, y }) => [x, y]);
  const places = squaresTo(trace, everyM, start, end).map(({ chainageM, offsetM }) => pointAt(chainageM, offsetM, start, end));
  return baselineTable(places, start, end, tapeOf(job), unitOf(job)).map((row, i) => ({ ...row, number: null, place: places[i] }));
}

function rowWords(job, row, [start, end]) {
  if (row === null) return { rows: [], side: null, check: null, error: null, basis: null, poor: null, why: { title: 'No square meets the outline', detail: 'Choose a smaller spacing.' } };
  const unit = job.bundle.site.units.ground;
  const [along, off] = [tapeParts(Math.abs(row.chainageM), unit), tapeParts(Math.abs(row.offsetM), unit)];
  return {
    rows: [
      { words: `Along from ${start.id}`, figure: along[0], sign: along[1], note: alongNote(row, start, end) },
      { words: `Square ${sideOf(row)}`, figure: off[0], sign: off[1], note: '' },
    ],
    side: `Looking along the string from ${start.id} to ${end.id}`,
    check: null, why: null,
    error: `Within ${radiusWords(row.ellipse.majorM, unit)} of its place, 95 of 100 times`,
    basis: `Hold the tape level. Square by ${squareWords(unit)}; tape ± ${radiusWords(tapeOf(job).errorM, unit)} (68 of 100), ${pegTruthWords([start, end])}`,
    poor: row.ellipse.majorM > job.bundle.site.tolerance_m
      ? `That is more than the tolerance of ${toleranceWords(job.bundle.site.tolerance_m, unit)}: so far out the right angle counts. Use two tapes, or a nearer string.` : null,
  };
}

const sideOf = ({ offsetM }) => (offsetM >= 0 ? 'to the right' : 'to the left');

function alongNote({ chainageM, isOnString }, start, end) {
  if (isOnString) return '';
  return chainageM < 0 ? `back behind ${start.id}: lay the string on past it` : `beyond ${end.id}: lay the string on past it`;
}

/** '3-4-5: 6 m along, 8 m out, 10 m across'. */
export function squareWords(unit) {
  const [a, b, c] = rightAngleSides(squareUnitM(unit)).map((side) => `${Math.round(side / (unit === 'foot' ? 0.3048 : 1))}\u00a0${tapeSign(unit)}`);
  return `3-4-5: ${a} along, ${b} out, ${c} across`;
}

/** The whole list, for the sheet. */
function listOf(job, rows, [start, end]) {
  const unit = job.bundle.site.units.ground;
  const signed = (m) => (m < -AHEAD_M ? `−${tapeWords(-m, unit)}` : tapeWords(Math.abs(m), unit));
  return {
    listTitle: `String from ${start.id} to ${end.id}`,
    list: rows.map((row) => ({
      name: row.number === null ? '' : String(row.number), along: signed(row.chainageM),
      off: `${tapeWords(Math.abs(row.offsetM), unit)} ${row.offsetM >= 0 ? 'right' : 'left'}`,
    })),
  };
}

/** What is in hand: a point to be marked, or a square that is only measured. */
function handled(job, row, rows, everyM) {
  if (everyM === null) return { title: `Point ${row.number}`, point: row, button: tapeButton(job, row.number), toPegs: false };
  return { title: row === null ? 'No square' : `${rows.indexOf(row) + 1} of ${rows.length}`, point: null, button: null, toPegs: false, count: rows.length };
}

function withoutString(job, usable, points) {
  const detail = usable.length === 0 ? 'No peg is in place here.' : `Only ${usable[0].id} is in place here.`;
  return {
    rows: [], list: [], listTitle: '', side: null, check: null, error: null, basis: null, poor: null, point: null, button: null, toPegs: true, title: 'No string', count: 0,
    why: { title: 'A string needs two pegs', detail: `${detail} Report pegs that you find, or set new ones, under Pegs.` },
    sketch: sketchOf({ ...groundOf(job, points), pegs: usable.map((peg) => ({ ...peg, isUsed: false })), strings: [], rings: [], target: null, fit: points.concat(usable) }),
  };
}

function lineSketch(job, usable, points, [start, end], row) {
  const foot = row && pointAt(row.chainageM, 0, start, end);
  return sketchOf({
    ...groundOf(job, points),
    pegs: usable.map((peg) => ({ ...peg, isUsed: peg === start || peg === end })),
    strings: [[start, end, 'base'], ...(row ? [[start, foot, 'tape'], [foot, row.place, 'tape']] : [])],
    rings: [],
    target: row && { x: row.place.x, y: row.place.y, label: row.number === null ? '' : String(row.number) },
    fit: points.concat([start, end]),
  });
}
