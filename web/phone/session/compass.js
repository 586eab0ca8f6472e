// From what a phone's orientation sensor reports to the true bearing of the top of the phone.
//
// Android's and Apple's compass figures are both magnetic; the declination of the bundle makes them true. A compass
// only turns a pointer here; it never places a point.

const RADIANS = Math.PI / 180;
const FLAT_DEG = 45;

/** Magnetic heading of the phone, degrees, or null when the sensor gives none. */
export function magneticHeadingDeg({ alpha, beta, gamma, webkitHeadingDeg, screenAngleDeg }) {
  if (webkitHeadingDeg !== null) return wrap(webkitHeadingDeg + screenAngleDeg);
  if (alpha === null) return null;
  return wrap(isFlat(beta ?? 0, gamma ?? 0) ? 360 - alpha + screenAngleDeg : backHeadingDeg(alpha, beta ?? 0, gamma ?? 0));
}

/** Nearly flat, the top edge of what is on the screen leads, so how the screen is turned counts. */
function isFlat(betaDeg, gammaDeg) {
  return Math.abs(betaDeg) < FLAT_DEG && Math.abs(gammaDeg) < FLAT_DEG;
}

/** Upright, the back of the screen leads, however the screen is turned: W3C Orientation Event, worked example A.1. */
function backHeadingDeg(alphaDeg, betaDeg, gammaDeg) {
  const [a, b, g] = [alphaDeg * RADIANS, betaDeg * RADIANS, gammaDeg * RADIANS];
  const east = -Math.cos(a) * Math.sin(g) - Math.sin(a) * Math.sin(b) * Math.cos(g);
  const north = -Math.sin(a) * Math.sin(g) + Math.cos(a) * Math.sin(b) * Math.cos(g);
  return Math.atan2(east, north) / RADIANS;
}

/** {deg, isTrue}: the heading against true north where the declination is known. */
export function headingOf(reading, declination) {
  const magnetic = magneticHeadingDeg(reading);
  if (magnetic === null) return null;
  return declination === null ? { deg: magnetic, isTrue: false } : { deg: wrap(magnetic + declination.deg), isTrue: true };
}

function wrap(deg) {
  return ((deg % 360) + 360) % 360;
}
