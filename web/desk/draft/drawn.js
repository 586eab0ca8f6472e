// An outline of a draft as it is drawn: its curve and traces, worked out once for as long as it stays the same object.

import { runOf } from '../../phone/geometry/clearance.js';
import { buildCurve, placesOf, stepsOf, vertices } from '../../phone/geometry/curve.js';
import { measure } from '../../phone/geometry/measures.js';
import { meetsItself } from '../../phone/geometry/selfcross.js';

const TRACE_SAGITTA_M = 0.0002;
const CROSSING_SAGITTA_M = 0.001;
const CENTROID_SAGITTA_M = 0.01;

const known = new WeakMap();

/**
 * {outline, curve, trace, run(), steps, meets, fault, measures(), centroid()} of an outline of a draft; course metres. Where no curve can
 * be put through its points `curve` is null, `fault` says why and the trace joins its points by straight lines. An outline
 * that crosses itself has a curve, the place where it `meets` itself and a fault.
 */
export function drawn(outline) {
  if (!known.has(outline)) known.set(outline, drawnAnew(outline));
  return known.get(outline);
}

function drawnAnew(outline) {
  const built = buildCurve(outline);
  if (built.fault !== undefined) {
    const chain = outline.points.map(([x, y]) => [x, y]);
    const straight = outline.closed && chain.length > 2 ? [...chain, chain[0]] : chain;
    return { outline, curve: null, trace: straight, run: once(() => runOf(straight)), meets: null, fault: built.fault };
  }
  const coarse = stepsOf(built, CROSSING_SAGITTA_M);
  const met = meetsItself(coarse.xs, coarse.ys, outline.closed);
  const meets = met && [met[0] + built.origin[0], met[1] + built.origin[1]];
  const fault = meets && `The outline crosses or touches itself near x ${meets[0].toFixed(2)}, y ${meets[1].toFixed(2)}; `
    + 'put its points in the order in which they lie along the outline.';
  const steps = stepsOf(built, TRACE_SAGITTA_M);
  const trace = placesOf(built, steps);
  return {
    outline, curve: built, steps, meets, fault, trace,
    run: once(() => runOf(trace)),
    measures: once(() => measure(built)),
    centroid: once(() => centroidOf(vertices(built, CENTROID_SAGITTA_M), outline.closed)),
  };
}

function once(work) {
  let found;
  return () => (found ??= work());
}

/** The outline that a draft is measured by: its first sand edge, else its first outline; null of a draft without any. */
export const measuredBy = (doc) => doc.outlines.find(({ part }) => part === 'sand edge') ?? doc.outlines[0] ?? null;

/** The centroid [x, y] of the area within a closed chain, of the length of an open one. */
function centroidOf(chain, closed) {
  const [originX, originY] = chain[0];
  let [whole, x, y] = [0, 0, 0];
  for (let i = 0; i + 1 < chain.length; i += 1) {
    const ax = chain[i][0] - originX;
    const ay = chain[i][1] - originY;
    const bx = chain[i + 1][0] - originX;
    const by = chain[i + 1][1] - originY;
    const part = closed ? (ax * by - ay * bx) / 2 : Math.sqrt((bx - ax) ** 2 + (by - ay) ** 2);
    whole += part;
    x += (part * (ax + bx)) / (closed ? 3 : 2);
    y += (part * (ay + by)) / (closed ? 3 : 2);
  }
  return whole === 0 ? [originX, originY] : [originX + x / whole, originY + y / whole];
}
