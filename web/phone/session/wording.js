// What the page says: plain words of the ground for distances, verdicts and troubles.

import { groundWords, radiusParts, radiusWords, showsAsZero, toleranceWords } from './lengths.js';

const [AHEAD_DEG, HALF_DEG, BEHIND_DEG] = [20, 60, 150];

const VAGUE_M = 50;

/** Whether a 95 % radius is so large that neither a figure nor a direction means anything. */
export const isVague = (radius95M) => radius95M !== null && radius95M > VAGUE_M;

/** Whether the target is nearer than the receiver can tell. */
export const isBelowRadius = (distanceM, radius95M) => radius95M !== null && distanceM <= radius95M;

/** The figure for a target nearer than the radius, as [figure, unit] pairs: it lies within distance and radius together; null otherwise. */
export function withinParts(distanceM, unit, radius95M) {
  if (isVague(radius95M)) return [['', 'within'], radiusParts(radius95M, unit)];
  return isBelowRadius(distanceM, radius95M) ? [['', 'within'], radiusParts(distanceM + radius95M, unit)] : null;
}

/** The way to go, one line a direction: ['2.10 m toward the green', '0.35 m left']. */
export function wayLines(way, unit, radius95M) {
  if (isVague(radius95M)) return [`You are somewhere within ${radiusWords(radius95M, unit)}`];
  if (isBelowRadius(way.distanceM, radius95M)) return [`You are within ${radiusWords(way.distanceM + radius95M, unit)} of it`];
  const sides = [
    [way.towardGreenM, 'toward the green', 'toward the tee'],
    [way.rightM, 'right', 'left'],
  ];
  const lines = sides
    .filter(([m]) => !showsAsZero(Math.abs(m), unit, radius95M, way.distanceM))
    .map(([m, plus, minus]) => `${groundWords(Math.abs(m), unit, radius95M, way.distanceM)} ${m > 0 ? plus : minus}`);
  return lines.length ? lines : ['This receiver shows no nearer'];
}

/** Where somebody stands beside a closed outline. */
export function lineSide(offM, isZero) {
  if (isZero) return 'at the line, as near as it shows';
  return offM >= 0 ? 'outside the line' : 'inside the line';
}

/** Which way to turn from where one faces, for a turn of -180 to 180 degrees, right positive. */
export function turnWords(deg) {
  const far = Math.abs(deg);
  if (far <= AHEAD_DEG) return 'straight on';
  if (far >= BEHIND_DEG) return 'turn round';
  return `${far < HALF_DEG ? 'half ' : ''}${deg > 0 ? 'right' : 'left'}`;
}

/** A bearing as three figures. */
export function bearingFigures(deg) {
  return `${String(Math.round(deg) % 360).padStart(3, '0')}°`;
}

/** The 95 % radius in words, always on screen; of an old position it says what it was. */
export function radiusLine(radius95M, unit, staleS) {
  const words = radius95M === null ? 'no accuracy figure' : `within ${radiusWords(radius95M, unit)} (95 %)`;
  return staleS === null ? words : `${staleS} s ago ${words}`;
}

/** Title and detail of a verdict. `what` is 'point 12' or 'the line'. */
export function verdictWords({ verdict, radius95M, toleranceM, unit, what, staleS }) {
  const tolerance = toleranceWords(toleranceM, unit);
  if (staleS !== null) return ['Cannot tell', `No new position for ${staleS} s. The figures above are old.`];
  if (radius95M === null) return ['Cannot tell', 'This receiver gives no accuracy figure.'];
  const settles = radius95M <= toleranceM;
  const unsettled = `This receiver cannot tell to ${tolerance}: ${tapeWords(radius95M)}.`;
  if (verdict === 'inside') return ['On the mark', `Within ${tolerance} of ${what}.`];
  if (verdict === 'outside') return ['Not yet', settles ? `More than ${tolerance} from ${what}.` : unsettled];
  return ['Cannot tell', settles ? `Near the limit of ${tolerance}: go closer.` : unsettled];
}

function tapeWords(radius95M) {
  return radius95M <= 2 ? 'tape the last metre' : 'it leads you near, a tape settles it';
}

const TROUBLES = {
  insecure: 'This page was opened over plain http, so the browser gives it no position.',
  refused: 'Location is refused for this page. Allow it in the browser, then choose the receiver again under More.',
  unavailable: 'The phone finds no position. Go into the open and see that location is switched on.',
  timeout: 'No position has come for a while. Wait in the open, away from trees and walls.',
  missing: 'This browser has no location at all. Use another one, or practise.',
};

/** What is wrong with the receiver, and what to do. */
export function troubleWords(trouble) {
  return TROUBLES[trouble] ?? 'Waiting for the first position. Stand in the open.';
}
