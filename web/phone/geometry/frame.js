// The phone's own frame: latitude and longitude to course coordinates by a polynomial on a tangent plane (WGS 84).
// Twin of fieldapp/geodesy/frame.py. Every position is taken at the origin's height; the fix's own height is not used.

const SEMI_MAJOR_M = 6378137;
const FLATTENING = 1 / 298.257223563;
const ECCENTRICITY2 = FLATTENING * (2 - FLATTENING);
const RADIANS = Math.PI / 180;
const UNIT_M = 1000;
const NEWTON_STEPS = 8;
// Powers of east and north in km, in the order of the coefficients.
const TERMS = [[0, 0], [1, 0], [0, 1], [2, 0], [1, 1], [0, 2], [3, 0], [2, 1], [1, 2], [0, 3]];

/**
 * Make a frame of the bundle's `frame`.
 * @param {{origin: number[], x: number[], y: number[]}} bundled origin is latitude, longitude (degrees), height (m)
 */
export function createFrame(bundled) {
  const [originLatDeg, originLonDeg, heightM] = bundled.origin;
  const toPlane = tangentPlane(originLatDeg, originLonDeg, heightM);

  function toCourse(latDeg, lonDeg) {
    return polynomial(bundled, toPlane(latDeg, lonDeg));
  }

  /** Newton's method; each step shrinks the error about 2000 times within the frame. */
  function toGnss(x, y) {
    let latDeg = originLatDeg;
    let lonDeg = originLonDeg;
    for (let step = 0; step < NEWTON_STEPS; step += 1) {
      const plane = toPlane(latDeg, lonDeg);
      const [reachedX, reachedY] = polynomial(bundled, plane);
      const [east, north] = solve(slope(bundled, plane), x - reachedX, y - reachedY);
      const radii = radiiM(latDeg);
      const parallelM = (radii.normal + heightM) * Math.cos(latDeg * RADIANS);
      latDeg += north / (radii.meridian + heightM) / RADIANS;
      lonDeg += east / parallelM / RADIANS;
    }
    return [latDeg, lonDeg];
  }

  /** Bearing from true north at the first point, 0 to 360 degrees. */
  function trueBearingDeg(x1, y1, x2, y2) {
    const [latDeg, lonDeg] = toGnss(x1, y1);
    const [east, north] = solve(slope(bundled, toPlane(latDeg, lonDeg)), x2 - x1, y2 - y1);
    const turnDeg = (lonDeg - originLonDeg) * Math.sin(latDeg * RADIANS);
    return (Math.atan2(east, north) / RADIANS + turnDeg + 720) % 360;
  }

  return { toCourse, toGnss, trueBearingDeg };
}

function radiiM(latDeg) {
  const root = Math.sqrt(1 - ECCENTRICITY2 * Math.sin(latDeg * RADIANS) ** 2);
  return { normal: SEMI_MAJOR_M / root, meridian: (SEMI_MAJOR_M * (1 - ECCENTRICITY2)) / root ** 3 };
}

function toEcef(latDeg, lonDeg, heightM) {
  const { normal } = radiiM(latDeg);
  const across = (normal + heightM) * Math.cos(latDeg * RADIANS);
  const up = ((1 - ECCENTRICITY2) * normal + heightM) * Math.sin(latDeg * RADIANS);
  return [across * Math.cos(lonDeg * RADIANS), across * Math.sin(lonDeg * RADIANS), up];
}

function tangentPlane(originLatDeg, originLonDeg, heightM) {
  const origin = toEcef(originLatDeg, originLonDeg, heightM);
  const sinLat = Math.sin(originLatDeg * RADIANS);
  const cosLat = Math.cos(originLatDeg * RADIANS);
  const sinLon = Math.sin(originLonDeg * RADIANS);
  const cosLon = Math.cos(originLonDeg * RADIANS);
  return (latDeg, lonDeg) => {
    const [dx, dy, dz] = toEcef(latDeg, lonDeg, heightM).map((value, axis) => value - origin[axis]);
    const outward = cosLon * dx + sinLon * dy;
    return [cosLon * dy - sinLon * dx, cosLat * dz - sinLat * outward];
  };
}

function polynomial(bundled, [eastM, northM]) {
  const east = eastM / UNIT_M;
  const north = northM / UNIT_M;
  let x = 0;
  let y = 0;
  bundled.x.forEach((coefficient, index) => {
    const term = east ** TERMS[index][0] * north ** TERMS[index][1];
    x += coefficient * term;
    y += bundled.y[index] * term;
  });
  return [x, y];
}

/** d(x, y) / d(east, north) as [xe, xn, ye, yn]. */
function slope(bundled, [eastM, northM]) {
  const east = eastM / UNIT_M;
  const north = northM / UNIT_M;
  const found = [0, 0, 0, 0];
  bundled.x.forEach((coefficient, index) => {
    const [i, j] = TERMS[index];
    const byEast = i === 0 ? 0 : (i * east ** (i - 1) * north ** j) / UNIT_M;
    const byNorth = j === 0 ? 0 : (j * east ** i * north ** (j - 1)) / UNIT_M;
    found[0] += coefficient * byEast;
    found[1] += coefficient * byNorth;
    found[2] += bundled.y[index] * byEast;
    found[3] += bundled.y[index] * byNorth;
  });
  return found;
}

function solve([xe, xn, ye, yn], x, y) {
  const determinant = xe * yn - xn * ye;
  return [(yn * x - xn * y) / determinant, (xe * y - ye * x) / determinant];
}
