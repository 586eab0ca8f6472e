// Where a measured point of a captured line lies, and how well that is known among the pegs.

import { baselineTable, pointAt } from '../geometry/baseline.js';
import { crossingAngleDeg, errorEllipse, intersect, pointCovariance } from '../geometry/intersection.js';
import { pegSigmaM } from '../geometry/ties.js';
import { squareUnitM, tapeWords } from './tape_words.js';

/**
 * {x, y, withinM} in course metres of a point {by, pegs, distancesM, side}, `withinM` the long half axis of its 95 %
 * ellipse on the ground, off a string with the right angle set by the 3-4-5 of the
 * site's unit; or {fault}, a sentence. `pegs` {id: {x, y, withinM}} in course metres; `tape` is {scale, errorM, unit}.
 */
export function placeOfPoint(point, pegs, tape) {
  const ends = point.pegs.map((id) => onGround(pegs[id], tape.scale));
  if (apart(ends[0], ends[1]) < 0.01) return { fault: `Pegs ${point.pegs[0]} and ${point.pegs[1]} are at one place: choose another one.` };
  const found = point.by === 'line' ? offTheString(point, ends, tape) : byTwoTapes(point, ends, tape);
  return found.fault ? found : { x: found.x / tape.scale, y: found.y / tape.scale, withinM: found.withinM };
}

const onGround = ({ x, y, withinM }, scale) => ({ x: x * scale, y: y * scale, sigmaM: pegSigmaM(withinM) });

const apart = (a, b) => Math.sqrt((a.x - b.x) ** 2 + (a.y - b.y) ** 2);

function offTheString({ distancesM: [chainageM, offsetM] }, [start, end], { errorM, unit }) {
  const place = pointAt(chainageM, offsetM, start, end);
  const [{ ellipse }] = baselineTable([place], start, end, { errorM }, squareUnitM(unit));
  return { ...place, withinM: ellipse.majorM };
}

function byTwoTapes({ pegs, distancesM: [first, second], side }, [a, b], { errorM, unit }) {
  const found = intersect(a, b, first, second);
  if (found.kind === 'none') return { fault: gapWords(pegs, found.gapM, unit) };
  const at = found[side];
  if (crossingAngleDeg(at, a, b) < 1) return { fault: `The tapes from ${pegs[0]} and ${pegs[1]} lie in one line there, so they do not tell where it is: take another peg.` };
  const covariance = pointCovariance(at, a, b, errorM, errorM, covarianceOf(a), covarianceOf(b));
  return { x: at.x, y: at.y, withinM: errorEllipse(covariance, 0.95).majorM };
}

const covarianceOf = ({ sigmaM }) => [sigmaM ** 2, 0, sigmaM ** 2];

function gapWords([one, other], gapM, unit) {
  const by = tapeWords(Math.abs(gapM), unit);
  return gapM > 0
    ? `These two tapes do not meet: together they are ${by} too short to reach from ${one} to ${other}. Read them again.`
    : `These two tapes do not meet: one is ${by} longer than the other and the way between the pegs together. Read them again.`;
}
