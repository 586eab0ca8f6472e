// The error of a practice receiver: correlated in time, as a real one's is.
//
// Each axis is the sum of two Ornstein-Uhlenbeck processes, a short and a long one. Their update over any time step is
// exact, so a step of ten seconds has the same statistics as ten steps of one.

import { createNormal } from './random.js';

const SIGMAS_IN_68_PERCENT_RADIUS = 1.5096;

/** Time constants in seconds, and the share of the variance that each part has. */
export const PARTS = [
  { name: 'short', timeConstantS: 60, share: 0.6 },
  { name: 'long', timeConstantS: 600, share: 0.4 },
];

/** The accuracy figure each grade of receiver reports, metres: the radius that holds 68 % of its positions. */
export const GRADES = {
  phone: { accuracyM: 4 },
  centimetre: { accuracyM: 0.014 },
};

/** Standard deviation on each axis for an accuracy figure taken as the 68 % radius of a circular normal error. */
export function sigmaM(accuracyM) {
  return accuracyM / SIGMAS_IN_68_PERCENT_RADIUS;
}

/** The value of an Ornstein-Uhlenbeck process `stepS` later; `normal` is a standard normal number (Gillespie 1996). */
export function stepProcess(value, stepS, timeConstantS, sigma, normal) {
  const kept = Math.exp(-stepS / timeConstantS);
  return value * kept + sigma * Math.sqrt(1 - kept * kept) * normal;
}

/** An error process; `step(seconds)` moves it on and returns [east, north] in metres. It starts in its steady state. */
export function createPracticeError(accuracyM, start) {
  const normal = createNormal(start);
  const sigma = sigmaM(accuracyM);
  const parts = PARTS.map(({ timeConstantS, share }) => {
    const partSigma = sigma * Math.sqrt(share);
    return { timeConstantS, partSigma, value: [partSigma * normal(), partSigma * normal()] };
  });
  const step = (stepS) => {
    for (const part of parts) {
      part.value = part.value.map((v) => stepProcess(v, stepS, part.timeConstantS, part.partSigma, normal()));
    }
    return parts.reduce((sum, { value }) => [sum[0] + value[0], sum[1] + value[1]], [0, 0]);
  };
  return { step };
}
