// What the page says of a yardage check: figure, range, verdict, what would settle it, and what the range is made of.

import { groundWords, radiusWords, showsAsZero, yardageFigure, yardagesBeside, yardageSign } from './lengths.js';

const EDGE = { reach: 'the front edge', carry: 'the far edge', along: 'the middle', offset: 'the middle' };
const SHAPES = { agrees: 'inside', differs: 'outside', 'cannot tell': 'cannot tell' };

export const REASONS = {
  'no tee': 'This hole has no tee to measure from.',
  'nothing to compare': 'Nothing is planned or drawn here to compare with.',
  'no position': 'No position yet.',
  'far away': 'You are far from this hole.',
  'old position': 'No new position comes now.',
};

const sided = (m) => (m >= 0 ? 'right' : 'left');
const fine = (m, unit, rangeM, most = 2, round = Math.round) => yardageFigure(Math.abs(m), unit, rangeM, most, round);

/** The figure as [value, unit]; an offset with its side. */
export function checkFigure({ figure, measuredM, rangeM }, unit) {
  const side = figure === 'offset' ? ` ${sided(measuredM)}` : '';
  return [fine(measuredM, unit, rangeM), `${yardageSign(unit)}${side}`];
}

/** '± 0.8 yd at 95 %: 261.6 to 263.2 yd'. */
export function checkRange({ figure, measuredM, rangeM, radius95M }, unit) {
  if (rangeM === null && radius95M === null) return 'This receiver gives no accuracy figure, so no range can be given.';
  if (rangeM === null) return 'How far the grid is off is not known, so no range can be given.';
  const sign = yardageSign(unit);
  const half = `± ${halfWidth(rangeM, unit)} ${sign} at 95 %`;
  if (figure === 'offset') return half;
  const [low, high] = [Math.max(0, measuredM - rangeM), measuredM + rangeM];
  return `${half}: ${fine(low, unit, rangeM, 2, Math.floor)} to ${fine(high, unit, rangeM, 2, Math.ceil)} ${sign}`;
}

/** A half-width rounded up, fine enough that one sees it shrink. */
function halfWidth(rangeM, unit) {
  const rough = Number(yardageFigure(rangeM, unit, 0, 2));
  return yardageFigure(rangeM, unit, 0, rough < 1 ? 2 : rough < 10 ? 1 : 0, Math.ceil);
}

/** The verdict for the strip; the arrow points to where the plan has it, up being away from the tee. */
export function checkSign(check, job) {
  const what = check.basis === 'planned' ? 'the plan' : 'the drawing';
  const titles = { agrees: `Agrees with ${what}`, differs: `Differs from ${what}`, 'cannot tell': 'Cannot tell' };
  const detail = check.verdict === 'cannot tell' ? settleWords(check, job) : toldWords(check, what, job.yardageUnit);
  return { kind: SHAPES[check.verdict], title: titles[check.verdict], detail, turnDeg: turnDeg(check) };
}

function turnDeg({ figure, differenceM }) {
  if (figure === 'offset') return differenceM > 0 ? -90 : 90;
  return differenceM > 0 ? 180 : 0;
}

function toldWords(check, what, unit) {
  const allowed = allowedWords(check, unit);
  if (check.verdict === 'agrees') return `Its whole range lies within ${allowed} of ${what}.`;
  return `${apartWords(check, unit)} ${what}; ${allowed} is allowed.`;
}

const allowedWords = ({ toleranceM }, unit) => `${yardageFigure(toleranceM, unit, 0, 1)} ${yardageSign(unit)}`;

/** How far it is from what it is held against, as both are shown: 'About 31 yd short of', '0.3 yd right of'; null where none shows. */
function apartWords({ figure, measuredM, plannedM, rangeM }, unit) {
  const { apart, isRough } = yardagesBeside(measuredM, plannedM, unit, rangeM);
  if (Number(apart) === 0) return null;
  const isLess = apart.startsWith('-');
  const way = figure === 'offset' ? `${isLess ? 'left' : 'right'} of` : isLess ? 'short of' : 'beyond';
  return `${isRough ? 'About ' : ''}${apart.replace('-', '')} ${yardageSign(unit)} ${way}`;
}

/** The sentence about what would settle it; '' where nothing needs to. */
export function settleWords(check, job) {
  const { settling: { kind, moreS, radius95M }, tee95M, grid95M, gridBasis } = check;
  const vague = (tee95M ?? 0) > 0 || (grid95M ?? 0) > 0;
  return {
    settled: '',
    'moving position': 'The position has not moved at all for some time: the phone may be repeating an old one. Walk a few steps and come back.',
    'know the grid': gridSettleWords(gridBasis, job.bundle),
    'step onto the line': stepWords(check, job),
    'hold still': `Hold still about ${holdWords(moreS ?? 0, job.holding !== null)}: then this receiver can tell, if the figure stays.`,
    'better receiver': receiverWords(check, job),
    tape: radius95M === null && vague
      ? 'The tee plate or the grid is not known well enough for any receiver to settle it: tape it, or have it surveyed, from the plate.'
      : nearTheLimitWords(check, job),
  }[kind];
}

/** Too near for any receiver, where this one is good enough to know that. */
function nearTheLimitWords(check, job) {
  if (check.radius95M === null || check.radius95M > check.toleranceM) return receiverWords(check, job);
  return 'It stands too near the edge of what is allowed for any receiver to settle it: tape it, or have it surveyed, from the tee plate.';
}

/** The step onto the line and, where the figure is out by more than is allowed, that too: a step aside mends no plain miss. */
function stepWords(check, job) {
  const { basis, offLineM, differenceM, toleranceM, rangeM } = check;
  const step = groundWords(Math.abs(offLineM ?? 0), job.bundle.site.units.ground, rangeM);
  const apart = Math.abs(differenceM) <= toleranceM ? null : apartWords(check, job.yardageUnit);
  const miss = apart === null ? '' : `${apart} ${basis === 'planned' ? 'the plan' : 'the drawing'}, and off its line. `;
  return `${miss}Step ${step} ${offLineM > 0 ? 'left' : 'right'}, looking from the tee, onto the straight line to the bunker's middle.`;
}

/**
 * Which receiver to come back with. One that is off by half of what is allowed at most: that stays the same from second to
 * second, as what this very difference asks for does not. Where this one is as good, it is that after all.
 */
function receiverWords({ toleranceM, radius95M, rangeM, settling }, job) {
  const halfM = niceRadius(toleranceM / 2);
  const askedM = radius95M !== null && radius95M <= halfM ? niceRadius(settling.radius95M) : halfM;
  const cannot = rangeM === null ? 'This receiver gives no accuracy figure.'
    : `This receiver cannot settle ${allowedWords({ toleranceM }, job.yardageUnit)}, however long it stands still.`;
  return `${cannot} Use a survey receiver (within ${radiusWords(askedM, job.bundle.site.units.ground, Math.floor)}, 95 %), or have it taped from the tee plate.`;
}

/** The largest of 1, 2, 5 times a power of ten not above a radius. */
function niceRadius(radiusM) {
  const tens = 10 ** Math.floor(Math.log10(radiusM) + 1e-9);
  return tens * [5, 2, 1].find((n) => n * tens <= radiusM * (1 + 1e-9));
}

/** What would tell how far the grid is off. */
function gridSettleWords(basis, { pegs }) {
  if (basis === 'not stated') return 'This plan does not say how well its grid is known: open this page once with signal.';
  if (basis === 'unchecked fit') return 'Two pegs alone do not check how the grid lies: have a third peg measured for it, or tape the figure, or have it surveyed, from the tee plate.';
  return pegs.length > 0 ? 'Check in on a control peg first: until then it is not known how far this grid is off.'
    : 'How far this grid is off is not known, and there is no peg to check in on: tape it, or have it surveyed, from the tee plate.';
}

/** A time to go on standing, rounded up: '40 s more', '3 min'. */
function holdWords(seconds, isHolding) {
  const words = seconds <= 60 ? `${Math.max(10, 10 * Math.ceil(seconds / 10))} s` : `${Math.ceil(seconds / 60)} min`;
  return isHolding ? `${words} more` : words;
}

/** The figures beside it: [name, words]. Measured, planned and difference add up as they stand. */
export function checkFacts(check, job, teeName) {
  const { measuredM, plannedM, basis, toleranceM, rangeM } = check;
  const [unit, sign] = [job.yardageUnit, yardageSign(job.yardageUnit)];
  const side = check.figure === 'offset' ? ` ${sided(plannedM)}` : '';
  const planned = yardagesBeside(measuredM, plannedM, unit, rangeM).planned.replace('-', '');
  const apart = apartWords(check, unit);
  return [
    [basis === 'planned' ? `Planned from ${teeName}` : `Drawn, from ${teeName}; no figure is planned`, `${planned} ${sign}${side}`],
    ['Difference', apart === null ? 'None that shows' : `${apart} it`],
    ['Allowed either way', `${yardageFigure(toleranceM, unit, 0, 2)} ${sign}`],
    ...lineFacts(check, job),
  ];
}

function lineFacts(check, job) {
  if (check.offLineM === null) return [];
  return [
    ['From the straight line to the middle you stand', offLineWords(check.offLineM, job.bundle.site.units.ground, check.rangeM)],
    [`On the line you stand on, ${EDGE[check.figure]} as drawn is`, ownLineWords(check, job.yardageUnit)],
  ];
}

function ownLineWords({ figure, measuredM, ownLineM, rangeM }, unit) {
  if (ownLineM === null) return 'nowhere: that line passes beside the sand';
  const { planned } = yardagesBeside(measuredM, ownLineM, unit, rangeM);
  const apart = apartWords({ figure, measuredM, plannedM: ownLineM, rangeM }, unit);
  const you = apart === null ? 'where you stand' : `you stand ${apart.replace('About', 'about')} it`;
  return `at ${planned} ${yardageSign(unit)}: ${you}`;
}

const offLineWords = (offM, unit, rangeM) => (showsAsZero(Math.abs(offM), unit, rangeM)
  ? 'on it, as near as this receiver shows' : `${groundWords(Math.abs(offM), unit, rangeM)} ${sided(offM)}`);

/** What the range is made of, and what is taken as exact. */
export function partsWords({ radius95M, tee95M, grid95M, gridBasis }, job) {
  const unit = job.bundle.site.units.ground;
  const within = (m) => `within ${radiusWords(m, unit)}`;
  const grid = {
    stated: grid95M > 0 ? `grid ${within(grid95M)}` : 'grid taken as that of the receiver\'s corrections',
    practice: 'grid without error, since practice positions are made by it',
    'check-in': `what the check-in leaves of the grid's shift ${within(grid95M ?? 0)}${turnTakenAsGiven(job)}`,
    'unchecked fit': 'grid not known, since two pegs do not check how it lies',
    'no check-in': 'grid not known before a check-in',
    'not stated': 'how well the grid is known is not stated',
  }[gridBasis];
  return `At 95 %: position ${radius95M === null ? 'not known' : within(radius95M)}; tee plate ${tee95M === null ? 'taken as exact' : within(tee95M)}; ${grid}.`;
}

/** A check-in on one peg shows no turn of the grid. */
const turnTakenAsGiven = ({ bundle: { hole } }) => (hole.grid_unknown === 'origin' ? ', its direction taken as given' : '');
