// Two taped distances meet: both places, how well they cross, how true the place is. Twin of fieldapp/tape/intersection.py.

import { R95_IN_SIGMA } from './verdict.js';

const TANGENT_M = 1e-6;
export const PARALLEL = 1e-9;

/**
 * Where the distances `ra` from a and `rb` from b meet, all in ground metres: {kind: 'two' | 'tangent' | 'none', left, right:
 * {x, y} or null as seen looking from a to b, gapM, reason}. `gapM` is above 0 by what they are too short together, below 0
 * by what the one circle lies inside the other. A distance that is none is refused.
 */
export function intersect(a, b, ra, rb) {
  if (!(Number.isFinite(ra) && Number.isFinite(rb) && ra >= 0 && rb >= 0)) throw new RangeError('Taped distances must be lengths of 0 or more.');
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const apart = Math.sqrt(dx * dx + dy * dy);
  if (apart <= TANGENT_M) return none(-Math.abs(ra - rb), 'same place');
  const [short, inside] = [apart - ra - rb, Math.abs(ra - rb) - apart];
  if (short > TANGENT_M) return none(short, 'too short together');
  if (inside > TANGENT_M) return none(-inside, 'one inside the other');
  const [ux, uy] = [dx / apart, dy / apart];
  const along = (apart + ((ra - rb) * (ra + rb)) / apart) / 2;
  const foot = { x: a.x + along * ux, y: a.y + along * uy };
  if (Math.max(short, inside) >= -TANGENT_M) return { kind: 'tangent', left: foot, right: foot, gapM: 0, reason: '' };
  const off = Math.sqrt(Math.max((ra - along) * (ra + along), 0));
  const at = (by) => ({ x: foot.x - by * uy, y: foot.y + by * ux });
  return { kind: 'two', left: at(off), right: at(-off), gapM: 0, reason: '' };
}

const none = (gapM, reason) => ({ kind: 'none', left: null, right: null, gapM, reason });

/** The unit vector from one place to another; none {0, 0} where they are the same. */
export function unitTo(start, end) {
  const [dx, dy] = [end.x - start.x, end.y - start.y];
  const length = Math.sqrt(dx * dx + dy * dy) || 1;
  return { x: dx / length, y: dy / length };
}

/** Above 0 where the second way points to the left of the first. */
export const crossOf = (one, other) => one.x * other.y - one.y * other.x;

/** The angle at which the tapes from a and b cross at a point: 0 in one line, 90 best. */
export function crossingAngleDeg(point, a, b) {
  const [toA, toB] = [unitTo(point, a), unitTo(point, b)];
  return (Math.atan2(Math.abs(crossOf(toA, toB)), Math.abs(toA.x * toB.x + toA.y * toB.y)) * 180) / Math.PI;
}

/**
 * The covariance [xx, xy, yy] of a point tied from pegs a and b, in square ground metres. `sigmaA` and `sigmaB` are one sigma
 * of the distances, the pegs' own covariances [xx, xy, yy] count along the tapes. Infinite where those lie in one line.
 */
export function pointCovariance(point, a, b, sigmaA, sigmaB, pegCovA = null, pegCovB = null) {
  const [fromA, fromB] = [unitTo(a, point), unitTo(b, point)];
  const sine = crossOf(fromA, fromB);
  if (Math.abs(sine) < PARALLEL) return [Infinity, Infinity, Infinity];
  const [varA, varB] = [sigmaA ** 2 + alongOf(fromA, pegCovA), sigmaB ** 2 + alongOf(fromB, pegCovB)];
  const square = sine * sine;
  return [
    (varA * fromB.y * fromB.y + varB * fromA.y * fromA.y) / square,
    -(varA * fromB.x * fromB.y + varB * fromA.x * fromA.y) / square,
    (varA * fromB.x * fromB.x + varB * fromA.x * fromA.x) / square,
  ];
}

/** The part of a covariance [xx, xy, yy] that lies along a direction; 0 of none. */
export function alongOf(direction, covariance) {
  if (covariance === null) return 0;
  const [xx, xy, yy] = covariance;
  return direction.x ** 2 * xx + 2 * direction.x * direction.y * xy + direction.y ** 2 * yy;
}

/** The ellipse {majorM, minorM, bearingDeg} that holds this share of a normal error with covariance [xx, xy, yy]. */
export function errorEllipse([xx, xy, yy], probability = 0.95) {
  if (!Number.isFinite(xx + xy + yy)) return { majorM: Infinity, minorM: Infinity, bearingDeg: 0 };
  const radius = probability === 0.95 ? R95_IN_SIGMA : Math.sqrt(-2 * Math.log(1 - probability));
  const [mean, half] = [(xx + yy) / 2, Math.sqrt(((xx - yy) / 2) ** 2 + xy * xy)];
  const bearing = 90 - (Math.atan2(2 * xy, xx - yy) * 90) / Math.PI;
  return {
    majorM: radius * Math.sqrt(mean + half), minorM: radius * Math.sqrt(Math.max(mean - half, 0)),
    bearingDeg: ((bearing % 180) + 180) % 180,
  };
}
