// A whole bunker moved, turned, scaled or mirrored: all its outlines alike. Places are course metres, bearings course bearings.
// An arc stays an arc through its three points; scaled more one way than the other it is another arc.

import { finite, withPlaces } from './outlines.js';

const DEGREES = 180 / Math.PI;

/** Move a bunker by dx, dy. */
export const moveBunker = (doc, dx, dy) => withPlaces(doc, (x, y) => [x + dx, y + dy]);

/** Turn a bunker clockwise about a centre [x, y]. */
export function turnBunker(doc, degClockwise, [centreX, centreY]) {
  const [sine, cosine] = sineAndCosine(degClockwise);
  return withPlaces(doc, (x, y) => {
    const [dx, dy] = [x - centreX, y - centreY];
    return [centreX + dx * cosine + dy * sine, centreY + dy * cosine - dx * sine];
  });
}

/** Make a bunker longer along a bearing and wider across it, by factors above 0, about a centre [x, y]. */
export function scaleBunker(doc, alongFactor, acrossFactor, centre, bearingDeg) {
  if (!(alongFactor > 0 && acrossFactor > 0)) throw new RangeError('A bunker is scaled by numbers above 0; to turn it over, mirror it.');
  return stretched(doc, alongFactor, acrossFactor, centre, bearingDeg);
}

/** Turn a bunker over about the line through a centre [x, y] on a bearing: what was left of it is right of it. */
export const mirrorBunker = (doc, centre, bearingDeg) => stretched(doc, 1, -1, centre, bearingDeg);

function stretched(doc, alongFactor, acrossFactor, [centreX, centreY], bearingDeg) {
  finite(alongFactor, acrossFactor);
  const [sine, cosine] = sineAndCosine(bearingDeg);
  return withPlaces(doc, (x, y) => {
    const [dx, dy] = [x - centreX, y - centreY];
    const [along, across] = [alongFactor * (dx * sine + dy * cosine), acrossFactor * (dx * cosine - dy * sine)];
    return [centreX + along * sine + across * cosine, centreY + along * cosine - across * sine];
  });
}

const sineAndCosine = (deg) => [Math.sin(deg / DEGREES), Math.cos(deg / DEGREES)];
