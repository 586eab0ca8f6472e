// Which distance to tape next. Twin of fieldapp/tape/next_line.py.

import { adjust } from './adjust.js';
import { dot, times } from './matrix.js';
import { design } from './network.js';
import { leastShown, shown, weightsOf } from './strength.js';

export const LONGEST_LINE_M = 30;
const SHORTEST_LINE_M = 1;
const LIKELY_MOVE_M = 0.10;
const ENOUGH = 16;
const TOLD_APART = 0.01;
const ALMOST = 1e-3;

/** The pairs of pegs that a tape of this length spans: [[id, id]]. */
export function linesInReach(pegs, reachM) {
  return pairs(pegs).filter(([a, b]) => {
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    return length >= SHORTEST_LINE_M && length <= reachM;
  }).map(([a, b]) => [a.id, b.id]);
}

const pairs = (list) => list.flatMap((a, i) => list.slice(i + 1).map((b) => [a, b]));

/** The distances to tape first: the best triangle and what adds most to it; `sigmaM` is the tape's. */
export function firstLines(pegs, sigmaM, reachM, count = 3) {
  const lines = [];
  while (lines.length < count) {
    const best = lines.length === 0 ? bestTriangle(pegs, sigmaM, reachM) : [];
    const one = best.length === 0 ? checkingLine(pegs, lines, reachM, sigmaM) : null;
    const fresh = one === null ? best : [one];
    if (fresh.length === 0) break;
    lines.push(...fresh.map((ends) => lineOf(pegs, ends, sigmaM)));
  }
  return lines.slice(0, count).map(({ one, other }) => [one, other]);
}

/** The untaped line that makes moves of the pegs show best; null where every pair in reach is taped. */
export function checkingLine(pegs, lines, reachM, sigmaM = null) {
  const tape = sigmaM ?? (lines.length === 0 ? LIKELY_MOVE_M : longestSigma(lines));
  return best(untaped(pegs, lines, reachM).map((ends) => [ends, checked(pegs, [...lines, lineOf(pegs, ends, tape)])]));
}

/** The line, new or to be taped again, that the hypotheses [{peg, line}] tell most apart; null where none does. */
export function separatingLine(pegs, lines, left, reachM) {
  const again = left.filter(({ line }) => line !== null).map(({ line }) => [lines[line].one, lines[line].other]);
  const asked = untaped(pegs, lines, reachM).concat(once(again).sort(byName));
  const told = left.map((wrong) => foretold(pegs, lines, wrong, asked, longestSigma(lines)));
  const score = (at) => pairs(told).reduce((sum, [a, b]) => sum + 1 - overlap(a[at], b[at]), 0);
  return best(asked.map((ends, at) => [ends, score(at)]), TOLD_APART);
}

const longestSigma = (lines) => Math.max(...lines.map(({ sigmaM }) => sigmaM));

const keyOf = (a, b) => JSON.stringify(a < b ? [a, b] : [b, a]);

function untaped(pegs, lines, reachM) {
  const taped = new Set(lines.map(({ one, other }) => keyOf(one, other)));
  return linesInReach(pegs, reachM).filter(([a, b]) => !taped.has(keyOf(a, b)));
}

const once = (list) => list.filter(([a, b], i) => list.findIndex((other) => other[0] === a && other[1] === b) === i);

const byName = (a, b) => compare(a[0], b[0]) || compare(a[1], b[1]);
const compare = (a, b) => (a < b ? -1 : Number(a > b));

/** The first of those that score highest, to nine digits, and more than `least`. */
function best(scored, least = 0) {
  const most = Math.max(0, ...scored.map(([, score]) => score));
  if (!(most * (1 - 1e-9) > least)) return null;
  return scored.find(([, score]) => score >= most * (1 - 1e-9))[0];
}

function checked(pegs, lines) {
  const asIs = adjust(pegs, lines);
  const [weights, rows] = [weightsOf(asIs), design(asIs.network, asIs.xy)];
  return pegs.reduce((sum, _, i) => {
    const move = rows.map((row) => row.slice(2 * i, 2 * i + 2).map((x) => x * LIKELY_MOVE_M));
    return sum + Math.min(ENOUGH, leastShown(move, weights)) + ALMOST * Math.min(ENOUGH, shown(move, weights));
  }, 0);
}

function bestTriangle(pegs, sigmaM, reachM) {
  const reachable = new Set(linesInReach(pegs, reachM).map(([a, b]) => keyOf(a, b)));
  const threes = pairs(pegs.map(({ id }) => id)).flatMap(([a, b]) => pegs.slice(pegs.findIndex(({ id }) => id === b) + 1)
    .map(({ id }) => [[a, b], [a, id], [b, id]]));
  return best(threes.filter((sides) => sides.every(([a, b]) => reachable.has(keyOf(a, b))))
    .map((sides) => [sides, checked(pegs, sides.map((ends) => lineOf(pegs, ends, sigmaM)))])) ?? [];
}

function lineOf(pegs, [one, other], sigmaM) {
  const [a, b] = [one, other].map((id) => pegs.find((peg) => peg.id === id));
  return { one, other, levelM: Math.hypot(b.x - a.x, b.y - a.y), sigmaM };
}

/** Mean and variance of each asked line if this is what is wrong: [[m, m²]]. */
function foretold(pegs, lines, { peg, line }, asked, tapeM) {
  const { network, xy, covariance } = adjust(
    pegs.map((one) => (one.id === peg ? loosened(one) : one)),
    lines.map((one, i) => (i === line ? { ...one, sigmaM: Math.hypot(one.sigmaM, LIKELY_MOVE_M) } : one)),
  );
  const ends = asked.map((pair) => pair.map((id) => network.index.get(id)));
  return design({ ends }, xy).map((row, i) => {
    const [a, b] = ends[i];
    const length = Math.hypot(xy[2 * b] - xy[2 * a], xy[2 * b + 1] - xy[2 * a + 1]);
    return [length, dot(row, times(covariance, row)) + tapeM ** 2];
  });
}

function loosened(peg) {
  const known = peg.fixed ? 0 : peg.sigmaM;
  return { ...peg, fixed: false, sigmaM: known === null ? null : Math.hypot(known, LIKELY_MOVE_M) };
}

/** The Bhattacharyya coefficient of two normal distributions, each [mean, variance]. */
function overlap([mean, variance], [mean2, variance2]) {
  const both = variance + variance2;
  return Math.sqrt((2 * Math.sqrt(variance * variance2)) / both) * Math.exp(-((mean - mean2) ** 2) / (4 * both));
}
