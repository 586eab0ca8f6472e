// Which peg moved, or which distance was misread? Twin of fieldapp/tape/moved.py, which says how it is decided.

import { adjust, fits, SIGNIFICANCE } from './adjust.js';
import { critical } from './chi_square.js';
import { eigen } from './matrix.js';
import { checkingLine, LONGEST_LINE_M, separatingLine } from './next_line.js';
import { isChecked, LIMIT_M, strengths } from './strength.js';

const R95_IN_SIGMA = Math.sqrt(-2 * Math.log(1 - 0.95));

/**
 * What taped lines [{one, other, levelM, sigmaM}] say of pegs [{id, x, y, sigmaM or null, fixed}], ground metres:
 * {verdict: 'all fit', 'misfit' or 'cannot tell', reason, chiSquare, dof, critical, suspects: [id], suspectLine: [id, id] or
 * null, shift: {peg, x, y, movedM, withinM} or null, wanted: [id, id] or null, tests, strengths, unchecked: [id]}.
 */
export function whichMoved(pegs, lines, { significance = SIGNIFICANCE, limitM = LIMIT_M, reachM = LONGEST_LINE_M } = {}) {
  const asIs = adjust(pegs, lines, significance);
  const found = finding(asIs, strengths(asIs, significance));
  const checking = () => checkingLine(pegs, lines, reachM);
  if (lines.length === 0) return { ...found, reason: 'nothing taped', wanted: checking() };
  if (!fits(asIs)) return { ...found, ...misfit(pegs, lines, asIs.dof, { significance, reachM, checking }) };
  if (found.strengths.every((one) => isChecked(one, limitM))) return { ...found, verdict: 'all fit', reason: 'fits' };
  return { ...found, reason: 'too few', wanted: checking() };
}

function finding(asIs, found) {
  const taped = new Set(found.map(({ peg }) => peg));
  return {
    verdict: 'cannot tell', reason: '', chiSquare: asIs.chiSquare, dof: asIs.dof, critical: asIs.chiCritical,
    suspects: [], suspectLine: null, shift: null, wanted: null, tests: [], strengths: found,
    unchecked: asIs.network.names.filter((id) => !taped.has(id)),
  };
}

function misfit(pegs, lines, dof, { significance, reachM, checking }) {
  const tests = tested(pegs, lines, dof, significance);
  const left = tests.filter(({ remains }) => remains);
  if (!left.some(explains)) return { verdict: 'misfit', reason: 'more than one', wanted: checking(), tests };
  const suspects = left.filter(({ peg }) => peg !== null).map(({ peg }) => peg);
  const suspectLines = left.filter(({ line }) => line !== null).map(({ line }) => [lines[line].one, lines[line].other]);
  const suspectLine = suspectLines.length === 1 ? suspectLines[0] : null;
  if (left.length > 1 || left[0].dof === 0) {
    return { reason: 'several', suspects, suspectLine, wanted: separatingLine(pegs, lines, left, reachM), tests };
  }
  if (suspectLine !== null) {
    const wanted = isTapedTwice(lines, suspectLine) ? null : suspectLine;
    return { verdict: 'misfit', reason: 'one distance', suspectLine, wanted, tests };
  }
  return { verdict: 'misfit', reason: 'one peg', suspects, shift: shiftOf(pegs, lines, suspects[0]), tests };
}

const isTapedTwice = (lines, ends) => lines.filter(({ one, other }) => ends.includes(one) && ends.includes(other)).length > 1;

const explains = ({ dof, chiSquare, critical: most }) => dof === 0 || chiSquare <= most;

/** Every hypothesis fitted by itself: [{peg, line, chiSquare, dof, critical, remains}]. */
function tested(pegs, lines, dof, significance) {
  const isTaped = ({ id }) => lines.some(({ one, other }) => one === id || other === id);
  const moved = pegs.filter(isTaped).map(({ id }) => ({ peg: id, line: null, fitted: adjust(freed(pegs, id), lines, significance) }));
  const misread = lines.map((_, i) => ({ peg: null, line: i, fitted: adjust(pegs, lines.filter((__, k) => k !== i), significance) }));
  const tried = moved.concat(misread);
  const most = Math.min(...tried.map(({ fitted }) => fitted.chiSquare + critical(dof - fitted.dof, significance)));
  return tried.map(({ peg, line, fitted }) => (
    { peg, line, chiSquare: fitted.chiSquare, dof: fitted.dof, critical: fitted.chiCritical, remains: fitted.chiSquare <= most }));
}

const freed = (pegs, moved) => pegs.map((peg) => (peg.id === moved ? { ...peg, sigmaM: null, fixed: false } : peg));

function shiftOf(pegs, lines, moved) {
  const { network, xy, covariance, defect } = adjust(freed(pegs, moved), lines);
  if (defect > 0) return null;
  const i = 2 * network.index.get(moved);
  const { values } = eigen([[covariance[i][i], covariance[i][i + 1]], [covariance[i + 1][i], covariance[i + 1][i + 1]]]);
  return {
    peg: moved, x: xy[i] + network.origin[0], y: xy[i + 1] + network.origin[1],
    movedM: Math.hypot(xy[i] - network.given[i], xy[i + 1] - network.given[i + 1]), withinM: R95_IN_SIGMA * Math.sqrt(values[1]),
  };
}
