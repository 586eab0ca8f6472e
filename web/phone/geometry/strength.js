// What taped distances would show of a peg that moved. Twin of fieldapp/tape/strength.py.

import { critical, seenNoncentrality } from './chi_square.js';
import { eigen, identity, inverseOver, product, transpose } from './matrix.js';
import { design } from './network.js';

export const LIMIT_M = 0.10;
const LEAST_IN_SIGMA = 5;
export const POWER = 0.80;
const NAMING_POWER = 0.98;
const INVISIBLE = 1e-9;

/** The move that must not pass unseen where a site tolerates `toleranceM`, by a tape of one sigma `errorM`; metres. */
export const limitOf = (toleranceM, errorM) => Math.min(LIMIT_M, Math.max(toleranceM, LEAST_IN_SIGMA * errorM));

/**
 * The strength of every peg that a line goes to: [{peg, seenFromM, namedFromM}]. Moved by so much in its worst direction it is
 * noticed with POWER, and named, with each other explanation ruled out, with NAMING_POWER; null: never.
 */
export function strengths(asIs, significance) {
  const { network, dof } = asIs;
  const taped = [...new Set(network.ends.flat())].sort((a, b) => a - b);
  if (taped.length === 0 || dof === 0) return taped.map((i) => ({ peg: network.names[i], seenFromM: null, namedFromM: null }));
  const weights = weightsOf(asIs);
  const rows = design(network, asIs.xy);
  const moves = taped.map((i) => rows.map((row) => row.slice(2 * i, 2 * i + 2)));
  const misreads = identity(rows.length).map((row) => row.map((x) => [x]));
  const scale = Math.max(...moves.map((move) => shown(move, weights)));
  const [seen, surely] = [POWER, NAMING_POWER].map((power) => seenNoncentrality(dof, significance, power));
  const named = namingNoncentrality(significance);
  return taped.map((i, k) => {
    const least = leastShown(moves[k], weights);
    const beside = apart(moves[k], weights, moves.filter((_, at) => at !== k).concat(misreads));
    return {
      peg: network.names[i],
      seenFromM: lengthOf(seen, least, scale),
      namedFromM: lengthOf(named, Math.min(beside, (least * named) / surely), scale),
    };
  });
}

/** Whether a move of this length would be seen, whichever its direction. */
export const isChecked = ({ seenFromM }, limitM) => seenFromM !== null && seenFromM <= limitM;

/** The weights by which misclosures of the lines count, in 1/m². */
export function weightsOf({ network, xy, covariance }) {
  const rows = design(network, xy);
  const inverse = network.lines.map(({ sigmaM }) => 1 / sigmaM ** 2);
  if (rows.length === 0) return [];
  const explained = product(product(rows, covariance), transpose(rows));
  return explained.map((row, i) => row.map((x, j) => (i === j ? inverse[i] : 0) - inverse[i] * x * inverse[j]));
}

/** How far apart two hypotheses must lie for the wrong one to be ruled out with NAMING_POWER. */
export function namingNoncentrality(significance) {
  const [margin, surely] = [critical(2, significance), critical(1, 2 * (1 - NAMING_POWER))];
  return (Math.sqrt(surely) + Math.sqrt(surely + margin)) ** 2;
}

/** The weight of a move, a row a line, in the direction that shows least. */
export const leastShown = (move, weights) => (move.length === 0 ? 0 : eigen(quadratic(move, weights)).values[0]);

/** The weight of a move in both directions together. */
export const shown = (move, weights) => (move.length === 0 ? 0 : quadratic(move, weights).reduce((sum, row, i) => sum + row[i], 0));

const quadratic = (move, weights) => product(product(transpose(move), weights), move);

const apart = (move, weights, others) => Math.min(...others.map((other) => leastShown(move, less(weights, taken(other, weights)))));

const less = (a, b) => a.map((row, i) => row.map((x, j) => x - b[i][j]));

function taken(other, weights) {
  const part = product(weights, other);
  return product(product(part, inverseOver(product(transpose(other), part), INVISIBLE).inverse), transpose(part));
}

const lengthOf = (noncentrality, weight, scale) => (weight > INVISIBLE * scale ? Math.sqrt(noncentrality / weight) : null);
