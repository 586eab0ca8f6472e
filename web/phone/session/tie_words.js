// What is said of a place and its ties: the distances, the side, how true it will be, and why there are none.

import { POOR_CROSSING_DEG } from '../geometry/ties.js';
import { radiusWords, toleranceWords } from './lengths.js';
import { tapeOf } from './tape.js';
import { pegTruthWords } from './tape_pegs.js';
import { listWords } from './morning_verdict.js';
import { pullWords, tapeParts, tapeWords } from './tape_words.js';

/** What is said of a place with ties; `levelsBasis` where its level is from. */
export function tiedWords(job, found, used, levelsBasis) {
  const unit = job.bundle.site.units.ground;
  const [first, second, check] = found.ties;
  return {
    rows: [first, second].map((tie) => tieRow(tie, `Hook ${tie.peg} on`, unit)),
    side: `${found.side === 'left' ? 'Left' : 'Right'} of the line, looking from ${first.peg} to ${second.peg}`,
    check: check ? { ...tieRow(check, `Check from ${check.peg}`, unit), within: `± ${radiusWords(found.checkWithinM, unit)}` } : null,
    error: `Within ${radiusWords(found.ellipse.majorM, unit)} of its place, 95 of 100 times`,
    basis: `tape ± ${radiusWords(tapeOf(job).errorM, unit)} (68 of 100), ${pegTruthWords(used.slice(0, 2))}; ${levelWords(found.ties, levelsBasis)}`,
    poor: poorWords(job, found),
    why: null,
  };
}

/** A distance to tape, on the slope where both levels are known, else held level; its note says which, and the other. */
function tieRow({ peg, levelM, slopeM }, words, unit) {
  const [figure, sign] = tapeParts(slopeM ?? levelM, unit);
  return { peg, words, figure, sign, note: slopeM === null ? pullWords(false) : `${pullWords(true)}, ${levelHeld(levelM, slopeM, unit)} held level` };
}

const levelHeld = (levelM, slopeM, unit) => (tapeWords(levelM, unit) === tapeWords(slopeM, unit) ? 'the same' : tapeWords(levelM, unit));

function levelWords(ties, basis) {
  const level = ties.filter(({ slopeM }) => slopeM === null).map(({ peg }) => peg);
  if (level.length === 0) return `levels: ${basis}`;
  return level.length === ties.length ? 'ground taken as level: hold the tape level' : `levels: ${basis}; none is known for the tape from ${listWords(level)}: hold it level`;
}

/** Why the place will be poor, or null: tapes that cross flat, or an error beyond the tolerance. */
function poorWords(job, { crossingDeg, ellipse }) {
  const { ground } = job.bundle.site.units;
  const tolerance = job.bundle.site.tolerance_m;
  if (crossingDeg < POOR_CROSSING_DEG) return `The tapes cross flat, at ${Math.floor(crossingDeg)}°: a small slip moves the point far. Choose other pegs, or measure from the string.`;
  return ellipse.majorM > tolerance ? `That is more than the tolerance of ${toleranceWords(tolerance, ground)}.` : null;
}

/** Why a place has no ties; `chosen` are the pegs that were tried, `isOnlyOne` that one of them was chosen by hand. */
export function whyWords(job, why, point, chosen, isOnlyOne = false) {
  const unit = job.bundle.site.units.ground;
  const { lengthM } = tapeOf(job);
  if (isOnlyOne) return nothing('Choose a second peg', `Only ${chosen[0].id} is chosen, and a place needs two.`);
  const away = chosen.map(({ id, x, y }) => ({ id, m: Math.sqrt((x - point.x) ** 2 + (y - point.y) ** 2) })).sort((a, b) => a.m - b.m);
  const tape = tapeWords(lengthM, unit);
  const [title, detail] = {
    'no peg in reach': ['No peg in reach', away.length === 0 ? 'No peg is in place here. Report pegs that you find, or set new ones, under Pegs.' : `The nearest is ${away[0].id}, ${tapeWords(away[0].m, unit)} away; the tape is ${tape} long.`],
    'one peg in reach': ['Only one peg in reach', `A place needs two pegs within ${tape}${away.length > 1 ? `; the next is ${away[1].id}, ${tapeWords(away[1].m, unit)} away` : ''}.`],
    'pegs in line': ['The pegs lie in one line', 'The place lies in the line of the pegs, so their tapes do not cross there. Use another peg.'],
  }[why];
  return nothing(title, detail);
}

const nothing = (title, detail) => ({ rows: [], side: null, check: null, error: null, basis: null, poor: null, why: { title, detail } });
