// Carry arcs about the tee chosen: to the near edge, over the far edge, and thin ones at round yardages between.

import { keepChildren, setAttribute, setPlace, setText, svg } from '../../phone/view/element.js';
import { yardageFigure, yardageSign } from '../../phone/session/lengths.js';
import { toCourse, toSheet } from './camera.js';
import { boxOf, boxesAlong, cornerBox, meets } from './labels.js';

const YARD_M = 0.9144;
const ROUND_STEPS = [1, 5, 10, 25, 50, 100];
const [LEAST_APART_PX, MOST_ROUND] = [70, 14];
const [OWN_PX, ROUND_PX, WIDE_SHEET_PX] = [15, 12, 600];

/**
 * {group, draw(camera, tee, figures), boxes(), giveWay(boxes)}; `figures` may be null, then only the round arcs are drawn. `boxes` are
 * those of the words on the bunker's own arcs; of the round arcs `giveWay` hides the words that would lie on any of some.
 */
export function createArcs(board) {
  const [round, own] = [svg('g', { class: 'round-arcs' }), svg('g', { class: 'own-arcs' })];
  const group = svg('g', { class: 'board-arcs', 'data-layer': 'arcs' }, round, own);
  let [drawnFor, ownBoxes, roundBoxes] = [null, [], []];
  const draw = (camera, tee, figures) => {
    const aim = figures?.middle ?? board.hole.green;
    if (drawnFor?.camera !== camera || drawnFor.tee !== tee) {
      drawnFor = { camera, tee };
      roundBoxes = fill(round, camera, tee, aim, roundArcs(camera, tee, board), ROUND_PX, []);
    }
    const corner = cornerBox(camera);
    const sand = figures?.middle ? boxesAlong(camera, Object.values(figures.traces)[0]) : [];
    ownBoxes = [...fill(own, camera, tee, aim, figures?.middle ? edgeArcs(figures, board) : [], OWN_PX, [corner, ...sand]), corner];
  };
  const giveWay = (boxes) => roundBoxes.forEach((box, at) => {
    setAttribute(round.children[at].lastChild, 'visibility', boxes.some((other) => meets(box, other)) ? 'hidden' : null);
  });
  return { group, draw, boxes: () => ownBoxes, giveWay };
}

function edgeArcs({ reach_m: reachM, carry_m: carryM }, { units, ground_scale: scale }) {
  return [['reach', reachM], ['carry', carryM]].filter(([, lengthM]) => lengthM !== null).map(([word, lengthM]) => ({
    radiusM: lengthM / scale, words: `${word} ${yardageFigure(lengthM, units.yardage, 0, 1)} ${yardageSign(units.yardage)}`, ends: word === 'reach' ? [-1, 1] : [1, -1], isBelow: word === 'reach',
  }));
}

/** Arcs at round yardages as far as they cross the sheet, no closer together than reads well. */
function roundArcs(camera, tee, { units, ground_scale: scale }) {
  const unitM = (units.yardage === 'yard' ? YARD_M : 1) / scale;
  const corners = [[0, 0], [camera.width, 0], [0, camera.height], [camera.width, camera.height]].map(([px, py]) => toCourse(camera, px, py));
  const away = corners.map(([x, y]) => Math.hypot(x - tee.x, y - tee.y) / unitM);
  const [teeX, teeY] = toSheet(camera, tee.x, tee.y);
  const holdsTee = teeX >= 0 && teeX <= camera.width && teeY >= 0 && teeY <= camera.height;
  const least = holdsTee ? 0 : Math.min(...away) * 0.9;
  const step = ROUND_STEPS.find((one) => one * unitM * camera.pxPerM >= LEAST_APART_PX) ?? ROUND_STEPS.at(-1);
  const first = Math.max(1, Math.ceil(least / step));
  const count = Math.min(MOST_ROUND, Math.max(0, Math.floor(Math.max(...away) / step) - first + 1));
  return Array.from({ length: count }, (_, at) => ({ radiusM: (first + at) * step * unitM, words: `${(first + at) * step}`, ends: [1], isBelow: false }));
}

/** Draw arcs, each with its words where they lie on none of `avoided` if that can be; gives the boxes of the words. */
function fill(group, camera, tee, aim, arcs, sizePx, avoided) {
  const make = () => svg('g', {}, svg('path'), svg('text'));
  return keepChildren(group, arcs.length, make).map((node, at) => {
    const { d, label } = arcOn(camera, tee, aim, arcs[at], sizePx, avoided);
    setAttribute(node.firstChild, 'd', d);
    setPlace(node.lastChild, ...label);
    setText(node.lastChild, arcs[at].words);
    return boxOf(...label, arcs[at].words, sizePx);
  });
}

/** An arc about the aim, as wide as the sheet at most, and the place of its words at one of `ends`, 1 right and -1 left. */
function arcOn(camera, tee, [aimX, aimY], { radiusM, words, ends, isBelow }, sizePx, avoided) {
  const aim = Math.atan2(aimX - tee.x, aimY - tee.y);
  const share = camera.width < WIDE_SHEET_PX ? 0.46 : 0.36;
  const half = Math.min(1.2, (share * Math.min(camera.width, 900)) / camera.pxPerM / radiusM);
  const at = (angle) => toSheet(camera, tee.x + radiusM * Math.sin(angle), tee.y + radiusM * Math.cos(angle));
  const [from, to] = [at(aim - half), at(aim + half)];
  const px = (radiusM * camera.pxPerM).toFixed(1);
  const { width } = boxOf(0, 0, words, sizePx);
  const labels = [0, 1].flatMap((line) => ends.map((end) => {
    const span = [at(aim + end * half), at(aim + end * Math.max(0, half - width / camera.pxPerM / radiusM))];
    const heights = span.map(([, y]) => y);
    const x = end < 0 ? span[0][0] : span[0][0] - width;
    return [Math.max(8, Math.min(camera.width - 8 - width, x)), isBelow ? Math.max(...heights) + (line + 1) * sizePx + 3 : Math.min(...heights) - line * sizePx - 6];
  }));
  const label = labels.find((one) => !avoided.some((box) => meets(box, boxOf(...one, words, sizePx)))) ?? labels[0];
  return { d: `M${from[0].toFixed(1)} ${from[1].toFixed(1)}A${px} ${px} 0 0 1 ${to[0].toFixed(1)} ${to[1].toFixed(1)}`, label };
}
