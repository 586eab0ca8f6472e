// The base line: chainage along a string between two pegs and square offsets from it. Twin of fieldapp/tape/baseline.py.

import { errorEllipse } from './intersection.js';

const SHORTEST_M = 0.05;
export const SQUARE_UNIT_M = 2;
const AT_M = 1e-9;
const SAME_M = 0.001;

/** Chainage and offset (right positive) of a place {x, y} from the line start to end, ground metres: {chainageM, offsetM}. */
export function chainageAndOffset(place, start, end) {
  const forward = forwardOf(start, end);
  const [ax, ay] = [place.x - start.x, place.y - start.y];
  return { chainageM: ax * forward.x + ay * forward.y, offsetM: ax * forward.y - ay * forward.x };
}

/** The place {x, y} at a chainage and an offset from the line start to end, ground metres. */
export function pointAt(chainageM, offsetM, start, end) {
  const forward = forwardOf(start, end);
  return { x: start.x + chainageM * forward.x + offsetM * forward.y, y: start.y + chainageM * forward.y - offsetM * forward.x };
}

/**
 * Places [{x, y}] by the string from peg to peg {x, y, sigmaM}: [{chainageM, offsetM, isOnString, ellipse}], the 95 % ellipse
 * from the errors of tape {errorM}, right angle (3-4-5 of `unitM`) and pegs.
 */
export function baselineTable(places, start, end, tape, unitM = SQUARE_UNIT_M) {
  const lengthM = Math.sqrt((end.x - start.x) ** 2 + (end.y - start.y) ** 2);
  return places.map((place) => {
    const { chainageM, offsetM } = chainageAndOffset(place, start, end);
    const covariance = covarianceOf(chainageM, offsetM, start, end, lengthM, tape, unitM);
    return { chainageM, offsetM, isOnString: chainageM >= 0 && chainageM <= lengthM, ellipse: errorEllipse(covariance) };
  });
}

/** Chainages and offsets [{chainageM, offsetM}] where the squares at every so many metres meet a trace [[x, y], ...]. */
export function squaresTo(trace, everyM, start, end) {
  if (!(Number.isFinite(everyM) && everyM > 0)) throw new RangeError('The spacing along the string must be more than 0.');
  const found = trace.map(([x, y]) => chainageAndOffset({ x, y }, start, end));
  const along = found.map(({ chainageM }) => chainageM);
  const [first, last] = [Math.ceil(Math.min(...along) / everyM), Math.floor(Math.max(...along) / everyM)];
  const stations = Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => everyM * (first + i));
  return stations.flatMap((station) => crossed(found, station).map((offsetM) => ({ chainageM: station, offsetM })));
}

/** The sides of a 3-4-5 triangle of this unit; the angle between the first two is right. */
export const rightAngleSides = (unitM) => [3 * unitM, 4 * unitM, 5 * unitM];

/** One sigma, in radians, of the right angle that a 3-4-5 of three taped sides gives. */
export function rightAngleSigmaRad(unitM, tapeErrorM) {
  const [a, b, c] = rightAngleSides(unitM);
  return (tapeErrorM * Math.sqrt(a * a + b * b + c * c)) / (a * b);
}

/** Both diagonals of a rectangle, which is square where the two are equal. */
export const equalDiagonals = (lengthM, widthM) => Math.sqrt(lengthM * lengthM + widthM * widthM);

function forwardOf(start, end) {
  const [dx, dy] = [end.x - start.x, end.y - start.y];
  const length = Math.sqrt(dx * dx + dy * dy);
  if (length < SHORTEST_M) throw new RangeError('A string needs two pegs that stand apart.');
  return { x: dx / length, y: dy / length };
}

/** The offsets at which a trace crosses one square, rising, each once. */
function crossed(found, station) {
  const between = found.slice(1).flatMap((high, i) => {
    const low = found[i];
    if ((low.chainageM <= station) === (high.chainageM <= station)) return [];
    return [low.offsetM + ((station - low.chainageM) / (high.chainageM - low.chainageM)) * (high.offsetM - low.offsetM)];
  });
  const at = found.filter(({ chainageM }) => Math.abs(chainageM - station) <= AT_M).map(({ offsetM }) => offsetM);
  const offsets = between.concat(at).sort((one, other) => one - other);
  return offsets.filter((offset, i) => i === 0 || offset - offsets[i - 1] > SAME_M);
}

/** The covariance [xx, xy, yy] of a place at a chainage and an offset, in the axes of the course. */
function covarianceOf(chainageM, offsetM, start, end, lengthM, tape, unitM) {
  const [share, fromStart, fromEnd] = [chainageM / lengthM, start.sigmaM ** 2, end.sigmaM ** 2];
  const turned = (fromStart + fromEnd) / lengthM ** 2 + rightAngleSigmaRad(unitM, tape.errorM) ** 2;
  const along = fromStart + tape.errorM ** 2 + offsetM ** 2 * turned;
  const across = (1 - share) ** 2 * fromStart + share ** 2 * fromEnd + tape.errorM ** 2;
  const both = (-offsetM / lengthM) * (share * fromEnd - (1 - share) * fromStart);
  const { x, y } = forwardOf(start, end);
  return [
    along * x * x + 2 * both * x * y + across * y * y,
    along * x * y + both * (y * y - x * x) - across * x * y,
    along * y * y - 2 * both * x * y + across * x * x,
  ];
}
