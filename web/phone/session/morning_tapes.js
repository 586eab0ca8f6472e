// What the distances taped in a morning say of a bunker's pegs.

import { whichMoved } from '../geometry/moved.js';
import { firstLines } from '../geometry/next_line.js';
import { netPeg } from '../geometry/network.js';
import { levelDistance } from '../geometry/slope.js';
import { tieSheet } from '../geometry/ties.js';
import { limitOf } from '../geometry/strength.js';
import { tapeOf } from './tape.js';
import { tiePeg } from './tape_pegs.js';

const MOST_LINES = 3;
/** A longer tape than the site's own is often at hand: where too few pegs are in its reach, lines of two tapes count. */
const LONG_TAPES = 2;

/** Pegs of a network in ground metres, of those as they stand. */
export function netPegs({ bundle: { frame: { ground_scale: scale } } }, pegs) {
  return pegs.map(({ id, x, y, withinM }) => netPeg(id, x * scale, y * scale, withinM));
}

/** How long a line may be that is asked for: the tape, or two of them where it spans too few. */
function reachM(net, { lengthM, errorM }) {
  return firstLines(net, errorM, lengthM, MOST_LINES).length === MOST_LINES ? lengthM : LONG_TAPES * lengthM;
}

/** The distances to tape first, [[one, other]]. */
export function linesToTape(job, pegs) {
  const [net, tape] = [netPegs(job, pegs), tapeOf(job)];
  return firstLines(net, tape.errorM, reachM(net, tape), MOST_LINES);
}

/** Whether a tape between two pegs lies on the slope: both levels are known, so that it can be reduced. Else it is held level. */
export function isOnSlope(pegs, { one, other }) {
  return [one, other].every((id) => (pegs.find((peg) => peg.id === id)?.levelM ?? null) !== null);
}

/** Why a distance cannot be used: {fault}; else {line, levelDifferenceM}: reduced to the level where it lies on the slope. */
function reduced({ one, other, distanceM }, pegs, errorM) {
  const levelOf = (id) => pegs.find((peg) => peg.id === id).levelM;
  const levelDifferenceM = isOnSlope(pegs, { one, other }) ? levelOf(other) - levelOf(one) : null;
  const levelM = levelDifferenceM === null ? distanceM : levelDistance(distanceM, levelDifferenceM);
  if (levelM === null || levelM <= 0) return { fault: `${one} to ${other} is shorter than the difference of their levels: read it again.` };
  return { line: { one, other, levelM, sigmaM: errorM }, levelDifferenceM };
}

/** Whether a line is longer than the site's tape. */
export function isLong(job, pegs, { one, other }) {
  const [a, b] = [one, other].map((id) => pegs.find((peg) => peg.id === id));
  return Boolean(a && b) && Math.sqrt((a.x - b.x) ** 2 + (a.y - b.y) ** 2) * job.bundle.frame.ground_scale > tapeOf(job).lengthM;
}

/**
 * {finding (null where nothing was taped), lines: [{one, other, distanceM, levelDifferenceM}], faults}; `typed` as
 * `typedLines` reads them. Lines to pegs that are not among `pegs` are left out.
 */
export function tapesSay(job, pegs, typed) {
  const tape = tapeOf(job);
  const known = new Set(pegs.map(({ id }) => id));
  const asked = typed.filter(({ one, other }) => known.has(one) && known.has(other)).map((line) => ({ ...line, ...reduced(line, pegs, tape.errorM) }));
  const usable = asked.filter(({ fault }) => fault === undefined);
  const net = netPegs(job, pegs);
  const finding = usable.length === 0 ? null : whichMoved(net, usable.map(({ line }) => line), { reachM: reachM(net, tape), limitM: limitOf(job.bundle.site.tolerance_m, tape.errorM) });
  return {
    finding, faults: asked.map(({ fault }) => fault).filter(Boolean),
    lines: usable.map(({ one, other, distanceM, levelDifferenceM }) => ({ one, other, distanceM, levelDifferenceM })),
  };
}

/** How many of the bunker's paint points can be taped from the pegs that are left: {left, all}. */
export function pointsInTies(job, bunker, pegs) {
  const { ground_scale: scale } = job.bundle.frame;
  const points = bunker.outlines.flatMap((outline) => outline.points.map(([, x, y]) => ({ x: x * scale, y: y * scale, levelM: null })));
  const from = pegs.map((peg) => ({ ...tiePeg(peg, scale), levelM: null }));
  return { left: tieSheet(points, from, tapeOf(job)).filter(({ ties }) => ties.length > 0).length, all: points.length };
}
