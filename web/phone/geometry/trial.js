// A receiver trial: what some minutes on a peg of known place tell of a receiver. Twin of fieldapp/reading/trial.py.

import { belonging, median } from './combine.js';
import { CANDIDATES, explained } from './likelihood.js';
import { DEFAULT_PROCESS, worstVariance } from './process.js';
import { R68_IN_SIGMA, R95_IN_SIGMA } from './verdict.js';

export const LEAST_S = 60;
export const LEAST_FIXES = 20;
const LEAST_PLACES = 10;
const APART_S = 5;
const FIGURE_COUNTS = 2;
const LONG_TAU_S = DEFAULT_PROCESS.parts[DEFAULT_PROCESS.parts.length - 1][1];
const HALVINGS = 60;
const LEAST_SQUARES_M2 = 1e-12;

/**
 * What fixes [{tS, x, y, accuracyM}] on a peg {x, y} tell of a receiver (s, course metres, the receiver's figure or
 * null). `parts` and `spread` are its error process, so the answer itself may be given as one. Where the fixes make no
 * trial the answer is {refused: 'too short' | 'too few' | 'held' | 'out of order'} alone.
 */
export function trialOf(fixes, peg) {
  const refused = whyNoTrial(fixes);
  if (refused !== null) return { refused };
  const told = fixes.map((fix) => ({ ...fix, sigmaM: sigmaOf(fix.accuracyM, null) }));
  const kept = belonging(told);
  const keptS = kept.map(({ tS }) => tS);
  const errors = kept.map(({ x, y }) => [x - peg.x, y - peg.y]);
  const sigmas = kept.map(({ sigmaM }) => sigmaM).filter((sigmaM) => sigmaM !== null);
  const toldM = sigmas.length > 0 ? median(sigmas) : null;
  const { process, scatterM: foundM } = learnt(keptS, errors, toldM);
  const scatterM = Math.max(foundM, toldM ?? 0);
  const share = worstVariance(keptS, keptS.map(() => 1 / keptS.length), process);
  return {
    refused: null,
    ...process,
    scatterM,
    sigmaPerAccuracy: toldM === null ? null : scatterM / toldM,
    accuracyM: toldM === null ? null : toldM * R68_IN_SIGMA,
    offsetX: sum(errors.map(([x]) => x)) / errors.length,
    offsetY: sum(errors.map(([, y]) => y)) / errors.length,
    offsetRadius95M: R95_IN_SIGMA * scatterM * Math.sqrt(share),
    fixes: kept.length,
    leftOut: fixes.length - kept.length,
    seconds: keptS[keptS.length - 1] - keptS[0],
    keptS,
  };
}

/** Why fixes make no trial, or null where they do. 'held': the receiver hardly gave two different positions. */
export function whyNoTrial(fixes) {
  const times = fixes.map(({ tS }) => tS);
  if (!fixes.every(({ tS, x, y }) => Number.isFinite(tS + x + y))) return 'out of order';
  if (times.some((now, index) => index > 0 && now < times[index - 1])) return 'out of order';
  if (times.length === 0 || times[times.length - 1] - times[0] < LEAST_S) return 'too short';
  if (new Set(times).size < LEAST_FIXES) return 'too few';
  return new Set(fixes.map(({ x, y }) => `${x} ${y}`)).size < LEAST_PLACES ? 'held' : null;
}

/** The process and the guarded scatter behind errors [x, y] about the peg; every candidate keeps its weight. */
function learnt(timesS, errors, toldM) {
  const used = apart(timesS);
  const [times, seen] = [used.map((index) => timesS[index]), used.map((index) => errors[index])];
  const prior = toldM === null ? 0 : FIGURE_COUNTS;
  const degrees = prior + 2 * used.length;
  const found = CANDIDATES.map((candidate) => {
    const { squares, logDeterminant } = explained(times, seen, candidate);
    const all = Math.max(squares + prior * (toldM ?? 0) ** 2, LEAST_SQUARES_M2);
    return { candidate, logWeight: -logDeterminant - (degrees * Math.log(all)) / 2, variance: all / degrees };
  });
  const most = Math.max(...found.map(({ logWeight }) => logWeight));
  const raw = found.map(({ logWeight }) => Math.exp(logWeight - most));
  const total = sum(raw);
  const weighed = found.map(({ candidate, variance }, index) => ({
    candidate,
    variance,
    weight: raw[index] / total,
    expected: (raw[index] / total) * variance,
  }));
  return { process: meanProcess(weighed), scatterM: scatter(weighed) };
}

function meanProcess(weighed) {
  const mean = (of) => sum(weighed.map((one) => one.expected * of(one.candidate)));
  const [white, short, long] = [mean(({ white: w }) => w), mean(({ short: s }) => s), mean(({ long: l }) => l)];
  const all = white + short + long;
  const tauS = Math.exp(mean(({ short: s, shortTauS }) => s * Math.log(shortTauS)) / short);
  const parts = [
    [white / all, 0],
    [short / all, tauS],
    [long / all, LONG_TAU_S],
  ];
  return { parts, spread: DEFAULT_PROCESS.spread };
}

/** The sigma whose 95 % radius holds 95 % of a mixture of circular normal errors. */
function scatter(weighed) {
  let [low, high] = [0, R95_IN_SIGMA ** 2 * Math.max(...weighed.map(({ variance }) => variance))];
  for (let halving = 0; halving < HALVINGS; halving += 1) {
    const middle = (low + high) / 2;
    const outside = sum(weighed.map(({ weight, variance }) => weight * Math.exp(-middle / (2 * variance))));
    if (outside > 0.05) low = middle;
    else high = middle;
  }
  return Math.sqrt(high) / R95_IN_SIGMA;
}

/** The indices of fixes at least 5 s after the one used before, the first included. */
function apart(timesS) {
  const used = [0];
  timesS.forEach((now, index) => {
    if (now - timesS[used[used.length - 1]] >= APART_S) used.push(index);
  });
  return used;
}

/** One-axis sigma of a fix from the receiver's figure (a 68 % radius), times what a trial found; null where unknown. */
export function sigmaOf(accuracyM, trial) {
  if (trial !== null && trial.sigmaPerAccuracy === null) return trial.scatterM;
  if (!Number.isFinite(accuracyM) || accuracyM <= 0) return null;
  return (accuracyM / R68_IN_SIGMA) * (trial === null ? 1 : trial.sigmaPerAccuracy);
}

function sum(numbers) {
  return numbers.reduce((total, number) => total + number, 0);
}
