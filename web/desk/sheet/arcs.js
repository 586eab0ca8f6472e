// Carry arcs about the tee chosen: to the near edge, over the far edge, and thin ones at round yardages between.

import { keepChildren, setAttribute, setPlace, setText, svg } from '../../phone/view/element.js';
import { yardageFigure, yardageSign } from '../../phone/session/lengths.js';
import { toCourse, toSheet } from './camera.js';

const YARD_M = 0.9144;
const ROUND_STEPS = [1, 5, 10, 25, 50, 100];
const [LEAST_APART_PX, MOST_ROUND] = [70, 14];

/** {group, draw(camera, tee, figures)}; `figures` may be null, then only the round arcs are drawn. */
export function createArcs(board) {
  const [round, own] = [svg('g', { class: 'round-arcs' }), svg('g', { class: 'own-arcs' })];
  const group = svg('g', { class: 'board-arcs', 'data-layer': 'arcs' }, round, own);
  let drawnFor = null;
  const draw = (camera, tee, figures) => {
    const aim = figures?.middle ?? board.hole.green;
    if (drawnFor?.camera !== camera || drawnFor.tee !== tee) {
      drawnFor = { camera, tee };
      fill(round, camera, tee, aim, roundArcs(camera, tee, board));
    }
    fill(own, camera, tee, aim, figures?.middle ? edgeArcs(figures, board) : []);
  };
  return { group, draw };
}

function edgeArcs({ reach_m: reachM, carry_m: carryM }, { units, ground_scale: scale }) {
  return [['reach', reachM], ['carry', carryM]].filter(([, lengthM]) => lengthM !== null).map(([word, lengthM]) => ({
    radiusM: lengthM / scale, words: `${word} ${yardageFigure(lengthM, units.yardage, 0, 1)} ${yardageSign(units.yardage)}`, end: word === 'reach' ? -1 : 1,
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
  return Array.from({ length: count }, (_, at) => ({ radiusM: (first + at) * step * unitM, words: `${(first + at) * step}`, end: 1 }));
}

function fill(group, camera, tee, aim, arcs) {
  const make = () => svg('g', {}, svg('path'), svg('text'));
  keepChildren(group, arcs.length, make).forEach((node, at) => {
    const { d, label } = arcOn(camera, tee, aim, arcs[at]);
    setAttribute(node.firstChild, 'd', d);
    setPlace(node.lastChild, ...label);
    setText(node.lastChild, arcs[at].words);
  });
}

/** An arc about the aim, as wide as the sheet at most, and the place of its words near one end. */
function arcOn(camera, tee, [aimX, aimY], { radiusM, end }) {
  const aim = Math.atan2(aimX - tee.x, aimY - tee.y);
  const half = Math.min(1.2, (0.36 * Math.min(camera.width, 900)) / camera.pxPerM / radiusM);
  const at = (angle) => toSheet(camera, tee.x + radiusM * Math.sin(angle), tee.y + radiusM * Math.cos(angle));
  const [from, to] = [at(aim - half), at(aim + half)];
  const px = (radiusM * camera.pxPerM).toFixed(1);
  const [endX, endY] = at(aim + end * half);
  const label = [Math.min(camera.width - 12, Math.max(12, endX)), endY - 7];
  return { d: `M${from[0].toFixed(1)} ${from[1].toFixed(1)}A${px} ${px} 0 0 1 ${to[0].toFixed(1)} ${to[1].toFixed(1)}`, label };
}
