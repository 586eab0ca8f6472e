// The bunker that is being drawn: its outlines, the points of the outline in hand, and where it comes too near to things.

import { groundWords } from '../../phone/session/lengths.js';
import { keepChildren, setAttribute, setText, svg } from '../../phone/view/element.js';
import { sheetPath, toSheet } from './camera.js';

const SIGN_OF = { plain: 'M-4.5 0A4.5 4.5 0 1 0 4.5 0A4.5 4.5 0 1 0 -4.5 0Z', corner: 'M-4.5 -4.5H4.5V4.5H-4.5Z', through: 'M0 -6L6 0L0 6L-6 0Z' };
const [LEAST_POINTS_APART_PX, NEAR_TIMES] = [7, 3];

/** {group, draw(camera, state)}; `state` is what the bench holds: {doc, figures, outlineId, chosen, isPointing}. */
export function createDrawn(board) {
  const [lines, near, points] = [svg('g', { class: 'drawn-lines' }), svg('g', { class: 'drawn-near', 'data-layer': 'clear' }), svg('g', { class: 'drawn-points' })];
  const group = svg('g', { class: 'board-drawn' }, lines, near, points);
  const memory = { camera: null, points: [], traces: new Map() };
  const draw = (camera, state) => {
    const isMoved = memory.camera !== camera;
    drawLines(lines, camera, state, memory.traces, isMoved);
    drawNear(near, camera, state, board);
    drawPoints(points, camera, state, memory, isMoved);
    memory.camera = camera;
  };
  return { group, draw };
}

function drawLines(group, camera, { doc, figures, outlineId }, drawnTraces, isMoved) {
  const nodes = keepChildren(group, doc.outlines.length, () => svg('path'));
  doc.outlines.forEach(({ id, part, closed }, at) => {
    const trace = figures.traces[id] ?? [];
    setAttribute(nodes[at], 'class', `outline outline-${part.replaceAll(' ', '-')}${id === outlineId ? ' in-hand' : ''}`);
    setAttribute(nodes[at], 'data-outline', id);
    if (!isMoved && drawnTraces.get(nodes[at]) === trace) return;
    drawnTraces.set(nodes[at], trace);
    nodes[at].setAttribute('d', sheetPath(camera, trace, closed));
  });
}

/** The shortest way to each thing that the design comes near to, with its length. */
function drawNear(group, camera, { figures }, board) {
  const shown = figures.clearances.filter((one) => one.distance_m < NEAR_TIMES * one.clearance_m);
  keepChildren(group, shown.length, () => svg('g', {}, svg('path'), svg('text'))).forEach((node, at) => {
    const { bunker_at: from, thing_at: to, distance_m: distanceM, is_too_near: isTooNear } = shown[at];
    const [[ax, ay], [bx, by]] = [toSheet(camera, ...from), toSheet(camera, ...to)];
    setAttribute(node, 'class', isTooNear ? 'too-near' : 'clear-enough');
    setAttribute(node.firstChild, 'd', `M${ax.toFixed(1)} ${ay.toFixed(1)}L${bx.toFixed(1)} ${by.toFixed(1)}`);
    setAttribute(node.lastChild, 'transform', `translate(${((ax + bx) / 2 + 8).toFixed(1)} ${((ay + by) / 2 - 6).toFixed(1)})`);
    setText(node.lastChild, `${isTooNear ? 'too near: ' : ''}${groundWords(distanceM, board.units.ground, 0)}`);
  });
}

function drawPoints(group, camera, { doc, outlineId, chosen, mayEdit }, memory, isMoved) {
  const outline = mayEdit ? doc.outlines.find(({ id }) => id === outlineId) : undefined;
  const points = outline?.points ?? [];
  const nodes = keepChildren(group, points.length, () => svg('path', { class: 'board-point' }));
  const picked = new Set(chosen);
  setAttribute(group, 'class', isCrowded(camera, points) ? 'drawn-points crowded' : 'drawn-points');
  points.forEach((point, at) => {
    const name = `board-point${picked.has(at) ? ' chosen' : ''}`;
    if (nodes[at].getAttribute('class') !== name) nodes[at].setAttribute('class', name);
    if (!isMoved && memory.points[at] === point) return;
    const [px, py] = toSheet(camera, point[0], point[1]);
    setAttribute(nodes[at], 'd', SIGN_OF[point[2] ?? 'plain']);
    nodes[at].setAttribute('transform', `translate(${px.toFixed(1)} ${py.toFixed(1)})`);
  });
  memory.points = points;
}

/** Whether points lie too close on the sheet to be told apart at their full size. */
function isCrowded(camera, points) {
  if (points.length < 2) return false;
  const apart = points.slice(1).reduce((sum, [x, y], at) => sum + Math.hypot(x - points[at][0], y - points[at][1]), 0);
  return (apart / (points.length - 1)) * camera.pxPerM < LEAST_POINTS_APART_PX;
}
