// From a fix to where the target lies: distance, way in the direction of play, true bearing. Ground metres.

import { radius95M } from '../geometry/verdict.js';

const EARTH_RADIUS_M = 6371000;
const FAR_IN_HALF_WIDTHS = 3;
const RADIANS = Math.PI / 180;

/** Where a fix stands on the course, or how far from the hole it is when it is nowhere near: {x, y, radius95M, awayM}. */
export function placeFix(frame, bundleFrame, fix) {
  const awayM = distanceFromOriginM(bundleFrame.origin, fix);
  const radius = radius95M(fix.accuracyM);
  if (awayM > FAR_IN_HALF_WIDTHS * bundleFrame.half_width_m) return { x: null, y: null, radius95M: radius, awayM };
  const [x, y] = frame.toCourse(fix.latDeg, fix.lonDeg);
  return { x, y, radius95M: radius, awayM: null };
}

/** Great-circle distance on a sphere: good to 0.6 %, used only to say that somebody is far away. */
function distanceFromOriginM([latDeg, lonDeg], fix) {
  const halfLat = Math.sin(((fix.latDeg - latDeg) * RADIANS) / 2);
  const halfLon = Math.sin(((fix.lonDeg - lonDeg) * RADIANS) / 2);
  const a = halfLat ** 2 + Math.cos(latDeg * RADIANS) * Math.cos(fix.latDeg * RADIANS) * halfLon ** 2;
  return 2 * EARTH_RADIUS_M * Math.asin(Math.min(1, Math.sqrt(a)));
}

/** The way from one place on the course to another, split along and across the direction of play. */
export function wayTo(frame, groundScale, playBearingDeg, from, to) {
  const dx = (to.x - from.x) * groundScale;
  const dy = (to.y - from.y) * groundScale;
  const sin = Math.sin(playBearingDeg * RADIANS);
  const cos = Math.cos(playBearingDeg * RADIANS);
  return {
    distanceM: Math.sqrt(dx * dx + dy * dy),
    towardGreenM: dx * sin + dy * cos,
    rightM: dx * cos - dy * sin,
    courseBearingDeg: bearingDeg(dx, dy),
    trueBearingDeg: dx === 0 && dy === 0 ? 0 : frame.trueBearingDeg(from.x, from.y, to.x, to.y),
  };
}

/** Course bearing of a step, 0 to 360, clockwise from +y. */
export function bearingDeg(dx, dy) {
  return (Math.atan2(dx, dy) / RADIANS + 360) % 360;
}

/** An angle as the turn from -180 to 180. */
export function turnDeg(angleDeg) {
  return ((((angleDeg + 180) % 360) + 360) % 360) - 180;
}
