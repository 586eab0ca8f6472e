// 'What it measures' and 'Keep clear': the figures of the draft as it stands, beside its plan where it has one.

import { isNearlyRound } from '../../phone/geometry/measures.js';
import { groundWords, yardageFigure, yardageSign } from '../../phone/session/lengths.js';
import { el, keepChildren, setAttribute, setText } from '../../phone/view/element.js';
import { clearRows } from './clear.js';

const [FOOT_M, DASH, MINUS] = [0.3048, '–', '\u2212'];

/** {draw(state)}; `node(id)` finds the parts of the card. */
export function createMeasures(board, node) {
  const [figures, faults, list, words] = ['figures', 'drawing-faults', 'clear-list', 'clear-words'].map(node);
  const boxes = [figures, list];
  let isStill = false;
  const draw = ({ doc, figures: now, teeId, isDragging }) => {
    if (isStill !== Boolean(isDragging)) holdStill(boxes, isStill = Boolean(isDragging));
    const rows = rowsOf(doc, now, teeId, board);
    keepChildren(figures, rows.length, figureRow).forEach((row, at) => {
      setText(row.firstChild, rows[at][0]);
      setText(row.lastChild, rows[at][1]);
      setAttribute(row, 'data-figure', rows[at][0]);
    });
    fillList(faults, now.faults);
    const clear = clearRows(now.clearances, board.keep_clear.length, board.units.ground);
    fillList(list, clear.map((one) => one.words));
    [...list.children].forEach((item, at) => setAttribute(item, 'class', clear[at].isTooNear ? 'too-near' : null));
    words.hidden = !now.clearances.some((one) => one.is_service);
  };
  return { draw };
}

/** While something is dragged the boxes of the figures keep their size, so that nothing around them has to be laid out again. */
function holdStill(boxes, isStill) {
  const heights = boxes.map((box) => `${box.offsetHeight}px`);
  boxes.forEach((box, at) => {
    box.style.height = isStill ? heights[at] : '';
    box.classList.toggle('still', isStill);
  });
}

const figureRow = () => el('div', {}, el('dt'), el('dd'));

function fillList(list, words) {
  keepChildren(list, words.length, () => el('li')).forEach((item, at) => setText(item, words[at]));
}

function rowsOf(doc, now, teeId, { units, tees }) {
  const yardage = (lengthM) => (lengthM === null ? DASH : `${signed(yardageFigure(lengthM, units.yardage, 0, 1))} ${yardageSign(units.yardage)}`);
  const side = (lengthM) => (lengthM === null ? DASH : Math.abs(lengthM) < 0.05 ? yardage(0) : `${yardage(Math.abs(lengthM))} ${lengthM > 0 ? 'right' : 'left'}`);
  const ground = (lengthM) => (lengthM === null ? DASH : groundWords(lengthM, units.ground, 0, 1));
  const plan = doc.plan?.tee === teeId ? doc.plan : null;
  const against = (drawnM, plannedM, write) => (plan && typeof plannedM === 'number' && drawnM !== null ? `${write(drawnM)}, planned ${write(plannedM)}${apartWords(drawnM - plannedM, plan.tolerance_m, yardage)}` : write(drawnM));
  return [
    ['reach', against(now.reach_m, plan?.reach_m, yardage)],
    ['carry', against(now.carry_m, plan?.carry_m, yardage)],
    ['middle along play', against(now.along_m, plan?.along_m, yardage)],
    ['aside', against(now.offset_m, plan?.offset_m, side)],
    ['slant to play', slantWords(now)],
    ['length, width', now.long_axis_m === null ? DASH : `${ground(now.long_axis_m)}, ${ground(now.short_axis_m)}`],
    ['area', now.area_m2 === null ? DASH : areaWords(now.area_m2, units.ground)],
    ['perimeter', ground(now.perimeter_m)],
    ['nearest peg', now.nearest_peg ? `${now.nearest_peg.id}, ${ground(now.nearest_peg.distance_m)}` : DASH],
    ...(doc.plan && !plan ? [['tee of its plan', tees.find(({ id }) => id === doc.plan.tee)?.name ?? doc.plan.tee]] : []),
  ];
}

function slantWords({ slant_deg: slantDeg, long_axis_m: longAxisM, short_axis_m: shortAxisM }) {
  if (slantDeg === null) return DASH;
  return isNearlyRound(longAxisM, shortAxisM) ? 'nearly round' : `${(Number(slantDeg.toFixed(1)) % 180).toFixed(1)}°`;
}

const signed = (figure) => figure.replace(/^-/, MINUS);

function apartWords(apartM, toleranceM, yardage) {
  const words = yardage(Math.abs(apartM));
  return Math.abs(apartM) <= toleranceM ? '' : `, ${words} ${apartM > 0 ? 'more' : 'less'}`;
}

const areaWords = (areaM2, unit) => (unit === 'foot' ? `${(areaM2 / FOOT_M ** 2).toFixed(0)} ft²` : `${areaM2.toFixed(1)} m²`);
