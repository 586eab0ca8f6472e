// Pegs and the distances taped between them, made ready to be adjusted. Twin of fieldapp/tape/network.py.

const SAME_PLACE_M = 1e-6;
const LEAST_SIGMA_M = 1e-4;
const R95_IN_SIGMA = Math.sqrt(-2 * Math.log(1 - 0.95));

/** The sigma of a peg's place among its neighbours where nobody told. */
export const UNTOLD_SIGMA_M = 0.005;

/** A peg {id, x, y, sigmaM, fixed}, ground metres, known within a 95 % radius; about 0 is without error, null UNTOLD_SIGMA_M. */
export function netPeg(id, x, y, withinM) {
  const sigmaM = withinM === null ? UNTOLD_SIGMA_M : withinM / R95_IN_SIGMA;
  const fixed = sigmaM < LEAST_SIGMA_M;
  return { id, x, y, sigmaM: fixed ? null : sigmaM, fixed };
}

/**
 * The network of pegs [{id, x, y, sigmaM or null, fixed}] and lines [{one, other, levelM, sigmaM}], ground metres from the
 * first peg: {index: id to number, names, origin, given: flat x, y, free: coordinates that may change, ends, lines, known}.
 */
export function networkOf(pegs, lines) {
  const index = new Map(pegs.map(({ id }, i) => [id, i]));
  const origin = pegs.length === 0 ? [0, 0] : [pegs[0].x, pegs[0].y];
  const given = pegs.flatMap(({ x, y }) => [x - origin[0], y - origin[1]]);
  const free = pegs.flatMap(({ fixed }, i) => (fixed ? [] : [2 * i, 2 * i + 1]));
  const ends = lines.map(({ one, other }) => [index.get(one), index.get(other)]);
  const known = pegs.flatMap(({ sigmaM, fixed }, i) => (fixed || sigmaM === null ? []
    : [2 * i, 2 * i + 1].map((column) => ({ column, value: given[column], sigmaM }))));
  return { index, names: pegs.map(({ id }) => id), origin, given, free, ends, lines, known };
}

/** The distances between places, given flat. */
export const lengths = ({ ends }, xy) => ends.map((pair) => Math.hypot(...way(xy, pair)));

/** How each distance changes with each coordinate, a row a line. */
export function design({ ends }, xy) {
  return ends.map((pair) => {
    const [dx, dy] = way(xy, pair);
    const length = Math.max(Math.hypot(dx, dy), SAME_PLACE_M);
    const row = Array(xy.length).fill(0);
    [[dx, 0], [dy, 1]].forEach(([d, axis]) => {
      row[2 * pair[0] + axis] = -d / length;
      row[2 * pair[1] + axis] = d / length;
    });
    return row;
  });
}

const way = (xy, [a, b]) => [xy[2 * b] - xy[2 * a], xy[2 * b + 1] - xy[2 * a + 1]];
