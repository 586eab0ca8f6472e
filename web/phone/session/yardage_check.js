// The yardage check: where I stand from a tee plate, beside what the bunker is planned to measure.

import { yardageFigure, yardagesBeside, yardageSign } from './lengths.js';
import { straightRange95M, yardage } from '../geometry/yardage.js';
import { isVague } from './wording.js';

/**
 * The check from one tee: {straightM, alongM, offsetM, rangeM (null when the radius is unknown), butGrid}, ground metres. The
 * tee plate and the grid, of 95 % radius `grid95M`, have their part in the range; `butGrid` says in words that the grid has
 * not, where it is not known.
 */
export function checkFrom(tee, place, groundScale, grid95M) {
  const found = yardage(tee.line, place.x, place.y, groundScale);
  const butGrid = grid95M === null ? ', but for the grid' : '';
  return { ...found, butGrid, rangeM: place.radius95M === null ? null : straightRange95M(place.radius95M, tee.within_m ?? 0, grid95M ?? 0) };
}

/** The sheet in words: straight, range, along, side, what a bend means, and rows beside the plan; `place` may be null. */
export function yardageSheet({ tee, bunker, place, isFar, groundScale, grid95M, unit }) {
  const check = place === null ? null : checkFrom(tee, place, groundScale, grid95M);
  const radius = place?.radius95M ?? null;
  const figure = (m, most) => `${yardageFigure(m, unit, radius, most)} ${yardageSign(unit)}`;
  const plan = bunker.plan !== null && bunker.plan.tee === tee.id ? bunker.plan : null;
  return {
    straight: check && [yardageFigure(check.straightM, unit, radius), yardageSign(unit)],
    range: rangeWords(check, isFar, unit, radius),
    along: check && figure(check.alongM),
    side: check && sideWords(check.offsetM, figure),
    rows: plan === null ? [] : planRows(plan, check, unit, radius),
    bend: check && tee.line.length > 2 ? 'Along the line of play counts round its turns; straight does not.' : '',
  };
}

function rangeWords(check, isFar, unit, radius) {
  if (check === null) return isFar ? 'You are far from this hole.' : 'No position yet.';
  if (check.rangeM === null) return 'This receiver gives no accuracy figure, so no range can be given.';
  const sign = yardageSign(unit);
  const [low, high] = [-1, 1].map((side) => Math.max(0, check.straightM + side * check.rangeM));
  const text = (m, round) => yardageFigure(m, unit, radius, 2, round);
  return `95 %: ${text(low, Math.floor)} to ${text(high, Math.ceil)} ${sign}${check.butGrid}`;
}

function sideWords(offsetM, figure) {
  return `${figure(Math.abs(offsetM))} ${offsetM >= 0 ? 'right' : 'left'}`;
}

/** One row a planned figure: [name, here, planned, difference], which add up as they stand. */
function planRows(plan, check, unit, radius) {
  return [
    ['Reach, near edge', plan.reach_m, check?.straightM],
    ['Carry, far edge', plan.carry_m, check?.straightM],
    ['Along, middle', plan.along_m, check?.alongM],
    ['Side, middle', plan.offset_m, check?.offsetM],
  ].filter(([, planned]) => planned !== null && planned !== undefined).map(([name, planned, here]) => {
    const show = name.startsWith('Side') ? sided : (figure) => figure;
    if (here === undefined) return [name, '–', show(yardageFigure(planned, unit, 0, 1)), '–'];
    const beside = yardagesBeside(here, planned, unit, radius, 1);
    return [name, show(beside.measured), show(beside.planned), show === sided ? sided(beside.apart) : signed(beside.apart)];
  });
}

const sided = (figure) => `${figure.replace('-', '')} ${figure.startsWith('-') ? 'left' : 'right'}`;

function signed(text) {
  if (Number(text) === 0) return text;
  return text.startsWith('-') ? text.replace('-', '−') : `+${text}`;
}

/** The short line on the main page: ['262.4 ± 0.1 yd', 'from Back, 95 %'], without its range where the grid is not known; no figure of a vague position. */
export function yardageLine(tee, place, groundScale, unit, grid95M) {
  if (place === null || isVague(place.radius95M)) return ['Yardage', `from ${tee.name}`];
  const { straightM, rangeM, butGrid } = checkFrom(tee, place, groundScale, grid95M);
  const figure = yardageFigure(straightM, unit, place.radius95M, 1);
  if (rangeM === null || butGrid) return [`${figure} ${yardageSign(unit)}`, `from ${tee.name}`];
  return [`${figure} ± ${yardageFigure(rangeM, unit, place.radius95M, 1, Math.ceil)} ${yardageSign(unit)}`, `from ${tee.name}, 95 %`];
}
