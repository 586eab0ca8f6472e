// The hull of some places and the smallest rectangle round it.

import { ascending } from './ascending.js';

/** A corner that turns the hull by less, twice the area of its triangle, is none: rounding, or one place given twice. */
const LEAST_TURN_M2 = 1e-10;

/** The corners of the convex hull of places `xs`, `ys`, as [x, y] counter-clockwise (Andrew's monotone chain). */
export function vertexHull(xs, ys) {
  const order = ascending(xs, (i, j) => ys[i] - ys[j]);
  const lower = halfHull(order, xs, ys);
  const upper = halfHull(order.reverse(), xs, ys);
  return [...lower.slice(0, -1), ...upper.slice(0, -1)].map((i) => [xs[i], ys[i]]);
}

function halfHull(order, xs, ys) {
  const chain = [];
  for (let at = 0; at < order.length; at += 1) {
    while (chain.length > 1 && turn(xs, ys, chain[chain.length - 2], chain[chain.length - 1], order[at]) <= LEAST_TURN_M2) chain.pop();
    chain.push(order[at]);
  }
  return chain;
}

const turn = (xs, ys, a, b, c) => (xs[b] - xs[a]) * (ys[c] - ys[a]) - (ys[b] - ys[a]) * (xs[c] - xs[a]);

/**
 * The bearing in radians, clockwise from +y, of a side of the smallest rectangle round a convex hull: it lies along one of the
 * hull's own sides (Freeman and Shapira 1975), and the corners farthest from each go round as the side does.
 */
export function leastRectangle(hull) {
  const count = hull.length;
  const dot = (k, x, y) => hull[k % count][0] * x + hull[k % count][1] * y;
  const climbed = (from, x, y) => {
    let k = from;
    while (k < from + count && dot(k + 1, x, y) > dot(k, x, y)) k += 1;
    return k;
  };
  let [ahead, aside, behind] = [1, 1, 1];
  let best = { area: Infinity, bearing: 0 };
  for (let i = 0; i < count; i += 1) {
    const from = hull[i];
    const to = hull[(i + 1) % count];
    const length = Math.sqrt((to[0] - from[0]) ** 2 + (to[1] - from[1]) ** 2);
    const x = (to[0] - from[0]) / length;
    const y = (to[1] - from[1]) / length;
    ahead = climbed(Math.max(ahead, i + 1), x, y);
    aside = climbed(Math.max(aside, ahead), -y, x);
    behind = climbed(Math.max(behind, aside), -x, -y);
    const area = (dot(ahead, x, y) - dot(behind, x, y)) * (dot(aside, -y, x) - dot(i, -y, x));
    if (area < best.area) best = { area, bearing: Math.atan2(x, y) };
  }
  return best.bearing;
}
