// The error process of a receiver: how long its error stays what it is. Twin of fieldapp/reading/process.py.
//
// A process is {parts: [[share of the variance, time constant in s; 0 = white], …], spread}.

/** What is taken of a receiver nobody has tried; reasons and sources stand in the Python twin. */
export const DEFAULT_PROCESS = {
  parts: [
    [0.1, 0],
    [0.35, 60],
    [0.55, 1800],
  ],
  spread: 3,
};

const STEPS_OF_SPREAD = 9;

/** The correlation of one part with itself over a lag of 0 s or more. */
export function correlationOver(lagS, tauS) {
  if (lagS === 0) return 1;
  return tauS > 0 ? Math.exp(-lagS / tauS) : 0;
}

/** The correlation of the whole error with itself over a lag of 0 s or more. */
export function correlation(process, lagS) {
  return process.parts.reduce((sum, [share, tauS]) => sum + share * correlationOver(lagS, tauS), 0);
}

/** Variance of a weighted sum of values of one part of variance 1, at times in rising order; exact, in one pass. */
export function partVariance(timesS, weights, tauS) {
  let [total, carried] = [0, 0];
  for (let i = 0; i < timesS.length; i += 1) {
    if (i > 0) carried *= correlationOver(timesS[i] - timesS[i - 1], tauS);
    total += weights[i] * (weights[i] + 2 * carried);
    carried += weights[i];
  }
  return total;
}

/** Variance of a weighted sum of errors, for an error of variance 1 with the time constants as given. */
export function varianceOfSum(timesS, weights, process) {
  return process.parts.reduce((sum, [share, tauS]) => sum + share * partVariance(timesS, weights, tauS), 0);
}

/** The largest variance of a sum with weights of 0 or more within the spread: at the longest time constants. */
export function worstVariance(timesS, weights, { parts, spread }) {
  return parts.reduce((sum, [share, tauS]) => sum + share * partVariance(timesS, weights, tauS * spread), 0);
}

/** The time constants from tau / spread to tau * spread, in steps of equal ratio. */
export function tausWithin(tauS, spread) {
  if (spread === 1 || tauS === 0) return [tauS];
  const last = STEPS_OF_SPREAD - 1;
  return Array.from({ length: STEPS_OF_SPREAD }, (_, step) => tauS * spread ** ((2 * step) / last - 1));
}
