// Shapes to start from: the points of a smooth closed outline that lies on a true oval, kidney or round.

import { buildCurve, stepsOf } from '../../phone/geometry/curve.js';

const KINDS = ['oval', 'kidney', 'round'];
/** How far the curve through the points may leave the true shape, ground metres. */
const WITHIN_M = 0.0015;
const LEAST_POINTS = 12;
const MOST_POINTS = 240;
const MORE = 4;
const LEAST_M = 0.5;
const MOST_M = 200;
const PARTS = 24;
const SEEN_M = 0.0001;

/**
 * The points [x, y] of a smooth outline round a centre [x, y] in course metres; lengths are ground metres. The long axis lies on a course
 * bearing; a kidney is pressed in by `waist_m` on its right, looking along it. No more points than hold the curve within
 * 1.5 mm of the true shape, an ellipse or the kidney of fieldapp/outline/place.py. Throws RangeError, in words, for a size
 * that is none.
 */
export function startPoints(kind, { length_m, width_m = length_m, waist_m = 0 }, [centreX, centreY], bearingDeg, groundScale) {
  const width = kind === 'round' ? length_m : width_m;
  checkSize(kind, length_m, width, waist_m);
  const shapeAt = ownShape(length_m / 2, width / 2, kind === 'kidney' ? waist_m : 0);
  const angle = (bearingDeg * Math.PI) / 180;
  const [sine, cosine] = [Math.sin(angle) / groundScale, Math.cos(angle) / groundScale];
  return enoughPoints(shapeAt).map(([along, right]) => [centreX + along * sine + right * cosine, centreY + along * cosine - right * sine]);
}

function checkSize(kind, length, width, waist) {
  if (!KINDS.includes(kind)) throw new RangeError(`'${kind}' is no shape to start from; it is oval, kidney or round.`);
  for (const [name, size] of [['length', length], ['width', width]]) {
    if (!(size >= LEAST_M && size <= MOST_M)) throw new RangeError(`The ${name} is ${size} m; it must be from ${LEAST_M} to ${MOST_M} m.`);
  }
  if (!(waist >= 0 && waist < width)) throw new RangeError(`The waist is pressed in by ${waist} m of a width of ${width} m; it must be at least 0 and less than the width.`);
}

/** Along and right of the centre at an angle that runs clockwise from the far end. */
const ownShape = (a, b, waist) => (t) => [a * Math.cos(t), b * Math.sin(t) - (Math.sin(t) > 0 ? waist * Math.sin(t) ** 4 : 0)];

function enoughPoints(shapeAt) {
  for (let count = LEAST_POINTS; ; count += MORE) {
    const points = Array.from({ length: count }, (_, i) => shapeAt((2 * Math.PI * i) / count));
    if (count >= MOST_POINTS || leaves(points, shapeAt) <= WITHIN_M) return points;
  }
}

/** How far the curve through points leaves the true shape, each piece seen against the stretch between its two points. */
function leaves(points, shapeAt) {
  const curve = buildCurve({ points, curve: 'smooth', closed: true });
  const { xs, ys, piece } = stepsOf(curve, SEEN_M);
  let most = 0;
  for (let i = 0; i < piece.length; i += 1) {
    const between = Array.from({ length: PARTS + 1 }, (_, k) => shapeAt((2 * Math.PI * (piece[i] + k / PARTS)) / points.length));
    most = Math.max(most, awayFrom([xs[i] + curve.origin[0], ys[i] + curve.origin[1]], between));
  }
  return most;
}

/** How far a place lies from a chain of places. */
function awayFrom([x, y], chain) {
  return Math.min(...chain.slice(1).map(([bx, by], i) => {
    const [ax, ay] = chain[i];
    const [dx, dy] = [bx - ax, by - ay];
    const share = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)));
    return Math.sqrt((x - ax - share * dx) ** 2 + (y - ay - share * dy) ** 2);
  }));
}
