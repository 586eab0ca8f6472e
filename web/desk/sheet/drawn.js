// The bunker that is being drawn: its outlines, what is pressed out so far, and where it comes too near to things.

import { groundWords } from '../../phone/session/lengths.js';
import { keepChildren, setAttribute, setPlace, setText, svg } from '../../phone/view/element.js';
import { sheetPath, toSheet } from './camera.js';
import { boxBeyond, placeOf } from './labels.js';

const [NEAR_TIMES, LETTERS_PX] = [3, 13];

/**
 * {group, draw(camera, state), drawNear(camera, state, taken)}, which gives the boxes of its words, that keep off those `taken`; `state` is what the bench holds: {doc, figures, traceOf, outlineId,
 * pending}; `pending` are places pressed out so far, or null.
 */
export function createDrawn(board) {
  const [lines, near, pending] = [svg('g', { class: 'drawn-lines' }), svg('g', { class: 'drawn-near', 'data-layer': 'clear' }), svg('path', { class: 'drawn-pending' })];
  const group = svg('g', { class: 'board-drawn' }, lines, near, pending);
  const [traces, seen] = [new Map(), { camera: null }];
  const draw = (camera, state) => {
    drawLines(lines, camera, state, traces, seen.camera !== camera);
    setAttribute(pending, 'd', state.pending ? pendingPath(camera, state.pending) : '');
    seen.camera = camera;
  };
  return { group, draw, drawNear: (camera, state, taken) => drawNear(near, camera, state, board, taken) };
}

function drawLines(group, camera, { doc, traceOf, outlineId }, drawnTraces, isMoved) {
  const nodes = keepChildren(group, doc.outlines.length, () => svg('path'));
  doc.outlines.forEach((outline, at) => {
    const [{ id, part, closed }, trace] = [outline, traceOf(outline)];
    setAttribute(nodes[at], 'class', `outline outline-${part.replaceAll(' ', '-')}${id === outlineId ? ' in-hand' : ''}`);
    setAttribute(nodes[at], 'data-outline', id);
    if (!isMoved && drawnTraces.get(nodes[at]) === trace) return;
    drawnTraces.set(nodes[at], trace);
    nodes[at].setAttribute('d', sheetPath(camera, trace, closed));
  });
}

/** The shortest way to each thing that the design comes near to, with its length; gives the boxes of the words. */
function drawNear(group, camera, { figures }, board, taken) {
  const boxes = [];
  const shown = figures.clearances.filter((one) => one.distance_m < NEAR_TIMES * one.clearance_m);
  keepChildren(group, shown.length, () => svg('g', {}, svg('path'), svg('text'))).forEach((node, at) => {
    const { bunker_at: from, thing_at: to, distance_m: distanceM, is_too_near: isTooNear } = shown[at];
    const [[ax, ay], [bx, by]] = [toSheet(camera, ...from), toSheet(camera, ...to)];
    setAttribute(node, 'class', isTooNear ? 'too-near' : 'clear-enough');
    setAttribute(node.firstChild, 'd', `M${ax.toFixed(1)} ${ay.toFixed(1)}L${bx.toFixed(1)} ${by.toFixed(1)}`);
    const words = distanceM === 0 ? 'too near: lies over it' : `${isTooNear ? 'too near: ' : ''}${groundWords(distanceM, board.units.ground, 0, 1)}`;
    const box = boxBeyond(camera, [ax, ay], [bx, by], words, LETTERS_PX, [...taken, ...boxes]);
    boxes.push(box);
    const [x, y] = placeOf(box);
    setPlace(node.lastChild, x, y);
    setText(node.lastChild, words);
  });
  return boxes;
}

/** What is pressed out so far, and a cross in the middle of the sheet where Enter puts the next place. */
function pendingPath(camera, places) {
  const [x, y] = [camera.width / 2, camera.height / 2];
  const dots = places.map(([placeX, placeY]) => toSheet(camera, placeX, placeY)).map(([px, py]) => `M${px - 4} ${py}a4 4 0 1 0 8 0a4 4 0 1 0 -8 0`);
  return `M${x - 9} ${y}H${x + 9}M${x} ${y - 9}V${y + 9}${sheetPath(camera, places, false)}${dots.join('')}`;
}
