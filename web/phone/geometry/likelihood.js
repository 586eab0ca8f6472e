// How well candidate error processes explain the errors seen at a peg. Twin of fieldapp/reading/likelihood.py.

const LONG_SHARES = [0.05, 0.25, 0.5, 0.7, 0.85, 0.95, 0.99];
const WHITE_OF_THE_REST = [0, 0.1, 0.3, 0.6, 1];
const SHORT_TAUS_S = [10, 25, 60, 150, 320];
const LONG_TAUS_S = [600, 1800, 5400];

/** Shares of the variance, and time constants in s: [{white, short, long, shortTauS, longTauS}]. */
export const CANDIDATES = LONG_SHARES.flatMap((long) =>
  WHITE_OF_THE_REST.flatMap((ofRest) =>
    SHORT_TAUS_S.flatMap((shortTauS) =>
      LONG_TAUS_S.map((longTauS) => ({
        white: (1 - long) * ofRest,
        short: (1 - long) * (1 - ofRest),
        long,
        shortTauS,
        longTauS,
      })),
    ),
  ),
);

/**
 * The sum of squares over both axes and the log determinant of one, for a candidate of variance 1: prediction errors of
 * a Kalman filter over its two exponential parts. `errors` is a list of [x, y] at times that rise, no two the same.
 */
export function explained(timesS, errors, candidate) {
  const { white, short, long, shortTauS, longTauS } = candidate;
  let [vShort, vBoth, vLong] = [short, 0, long];
  let [sx, sy, lx, ly] = [0, 0, 0, 0];
  let [squares, logDeterminant] = [0, 0];
  for (let i = 0; i < timesS.length; i += 1) {
    const stepS = i === 0 ? 0 : timesS[i] - timesS[i - 1];
    const [keepShort, keepLong] = [Math.exp(-stepS / shortTauS), Math.exp(-stepS / longTauS)];
    vShort = short + keepShort ** 2 * (vShort - short);
    vBoth = keepShort * keepLong * vBoth;
    vLong = long + keepLong ** 2 * (vLong - long);
    [sx, sy, lx, ly] = [keepShort * sx, keepShort * sy, keepLong * lx, keepLong * ly];
    const variance = vShort + 2 * vBoth + vLong + white;
    const [dx, dy] = [errors[i][0] - sx - lx, errors[i][1] - sy - ly];
    squares += (dx ** 2 + dy ** 2) / variance;
    logDeterminant += Math.log(variance);
    const [toShort, toLong] = [(vShort + vBoth) / variance, (vBoth + vLong) / variance];
    [sx, sy, lx, ly] = [sx + toShort * dx, sy + toShort * dy, lx + toLong * dx, ly + toLong * dy];
    vShort -= toShort ** 2 * variance;
    vBoth -= toShort * toLong * variance;
    vLong -= toLong ** 2 * variance;
  }
  return { squares, logDeterminant };
}
