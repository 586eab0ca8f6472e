// What lies under a pointer on the sheet, in pixels.

import { toSheet } from './camera.js';

/** How near a pointer must come to take hold, pixels: a finger covers more than a mouse's point. */
export const REACH_PX = { mouse: 11, pen: 14, touch: 24 };

/** The index of the point [x, y] of an outline nearest to (px, py), or null where none lies within reach. */
export function pointUnder(camera, points, px, py, reachPx) {
  let [found, least] = [null, reachPx];
  points.forEach(([x, y], at) => {
    const [atX, atY] = toSheet(camera, x, y);
    const away = Math.hypot(atX - px, atY - py);
    if (away <= least) [found, least] = [at, away];
  });
  return found;
}

/** The id of the outline whose line, or else whose inside, lies under (px, py); null for none. `traces` are [id, trace, closed]. */
export function outlineUnder(camera, traces, px, py, reachPx) {
  const seen = traces.map(([id, trace, closed]) => ({ id, closed, places: trace.map(([x, y]) => toSheet(camera, x, y)) }));
  const near = seen.map((one) => ({ ...one, away: awayFrom(one.places, px, py) })).sort((a, b) => a.away - b.away)[0];
  if (near && near.away <= reachPx) return near.id;
  const around = seen.filter((one) => one.closed && isInside(one.places, px, py));
  return around.sort((a, b) => breadth(a.places) - breadth(b.places))[0]?.id ?? null;
}

/** The index of the control point after which a place on the line nearest to (px, py) comes. */
export function afterPoint(camera, points, closed, px, py) {
  const places = points.map(([x, y]) => toSheet(camera, x, y));
  const chords = closed ? places.length : places.length - 1;
  const away = Array.from({ length: Math.max(chords, 0) }, (_, at) => fromChord(places[at], places[(at + 1) % places.length], px, py));
  return away.length ? away.indexOf(Math.min(...away)) : places.length - 1;
}

function awayFrom(places, px, py) {
  let least = Infinity;
  for (let at = 1; at < places.length; at += 1) least = Math.min(least, fromChord(places[at - 1], places[at], px, py));
  return least;
}

function fromChord([ax, ay], [bx, by], px, py) {
  const [dx, dy] = [bx - ax, by - ay];
  const square = dx * dx + dy * dy;
  const share = square > 0 ? Math.min(1, Math.max(0, ((px - ax) * dx + (py - ay) * dy) / square)) : 0;
  return Math.hypot(px - ax - share * dx, py - ay - share * dy);
}

function isInside(places, px, py) {
  let odd = false;
  for (let at = 0, before = places.length - 1; at < places.length; before = at, at += 1) {
    const [[ax, ay], [bx, by]] = [places[before], places[at]];
    if (ay > py !== by > py && px < ax + ((py - ay) * (bx - ax)) / (by - ay)) odd = !odd;
  }
  return odd;
}

const breadth = (places) => Math.max(...places.map(([x]) => x)) - Math.min(...places.map(([x]) => x));
