// Least squares of taped distances between pegs. Twin of fieldapp/tape/adjust.py: what nothing determines is settled by inner
// constraints.

import { critical } from './chi_square.js';
import { dot, inverseOver, product, times, transpose } from './matrix.js';
import { design, lengths, networkOf } from './network.js';

export const SIGNIFICANCE = 0.01;
const MOST_STEPS = 60;
const STEP_M = 1e-8;
const LONGEST_STEP = 0.5;
const UNDETERMINED = 1e-12;
const NO_REDUNDANCY = 1e-9;

/**
 * Adjust a network; pegs and lines as in network.js, positions not taken. {network, xy: flat, from the network's origin,
 * covariance, residualsM: adjusted minus taped, redundancy, standardised (null without redundancy), dof, chiSquare,
 * chiCritical, defect}.
 */
export function adjust(pegs, lines, significance = SIGNIFICANCE) {
  const network = networkOf(pegs, lines);
  const xy = solved(network);
  const last = modelAt(network, xy);
  const covariance = spread(network, last.cofactor);
  const residualsM = lengths(network, xy).map((length, i) => length - lines[i].levelM);
  const redundancy = design(network, xy).map((row, i) => clipped(1 - dot(row, times(covariance, row)) / lines[i].sigmaM ** 2));
  const defect = last.null.length;
  const dof = last.leftOver.length - network.free.length + defect;
  return {
    network, xy, covariance, residualsM, redundancy,
    standardised: residualsM.map((v, i) => (redundancy[i] > NO_REDUNDANCY ? v / (lines[i].sigmaM * Math.sqrt(redundancy[i])) : null)),
    dof, chiSquare: dot(last.leftOver, last.leftOver), chiCritical: critical(dof, significance), defect,
  };
}

/** Whether the global test finds nothing wrong; without redundancy there is no test. */
export const fits = ({ dof, chiSquare, chiCritical }) => dof === 0 || chiSquare <= chiCritical;

const clipped = (share) => Math.min(1, Math.max(0, share));

function solved(network) {
  let total = network.free.map(() => 0);
  const longest = LONGEST_STEP * Math.min(Infinity, ...lengths(network, network.given));
  for (let i = 0; i < MOST_STEPS; i += 1) {
    const model = modelAt(network, moved(network, total));
    const farthest = largest(model.change);
    const part = farthest > longest ? longest / farthest : 1;
    const wanted = withoutNull(total.map((x, k) => x + part * model.change[k]), model.null);
    const step = largest(wanted.map((x, k) => x - total[k]));
    total = wanted;
    if (step < STEP_M) break;
  }
  return moved(network, total);
}

const largest = (list) => list.reduce((most, x) => Math.max(most, Math.abs(x)), 0);

const withoutNull = (change, vectors) => vectors.reduce((rest, vector) => {
  const part = dot(vector, change);
  return rest.map((x, k) => x - part * vector[k]);
}, change);

function moved({ given, free }, total) {
  const xy = [...given];
  free.forEach((column, k) => { xy[column] += total[k]; });
  return xy;
}

function modelAt(network, xy) {
  const { free, lines, known } = network;
  const apart = lengths(network, xy).map((length, i) => (lines[i].levelM - length) / lines[i].sigmaM);
  const leftOver = apart.concat(known.map(({ column, value, sigmaM }) => (value - xy[column]) / sigmaM));
  const taped = design(network, xy).map((row, i) => free.map((column) => row[column] / lines[i].sigmaM));
  const rows = taped.concat(known.map((one) => free.map((column) => (column === one.column ? 1 / one.sigmaM : 0))));
  const columns = transpose(rows);
  const normal = rows.length === 0 ? free.map(() => free.map(() => 0)) : product(columns, rows);
  const { inverse, null: none } = inverseOver(normal, UNDETERMINED);
  const change = rows.length === 0 ? free.map(() => 0) : times(inverse, times(columns, leftOver));
  return { leftOver, change, cofactor: inverse, null: none };
}

function spread({ given, free }, cofactor) {
  const covariance = given.map(() => given.map(() => 0));
  free.forEach((row, i) => free.forEach((column, j) => { covariance[row][column] = cofactor[i][j]; }));
  return covariance;
}
