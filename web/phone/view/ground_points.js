// What stands on the grass at a size of its own: numbers, target, boots in their circle, the way between them, pegs.

import { keepChildren, setAttribute, setText, svg } from './element.js';
import { boxAbout, wordsBox } from './ground_room.js';
import { onScreen } from './turning.js';

const NUMBER_STEPS = [1, 2, 5, 10, 20, 50, 100];
const NUMBER_ROOM_PX = 38;
const NUMBER_PX = { target: 27, point: 16, peg: 14 };
const HALF_PX = { ring: 22, boots: 23 };
const NUMBER_APART_PX = 40;
const BOOT = 'M-4.5 -1V-12a4.5 6 0 0 1 9 0V-1zM-4 3h8v3.500a4 4 0 0 1 -8 0z';

/** The layer: {node, draw(view)}. */
export function createGroundPoints() {
  const circle = svg('circle', { class: 'error-circle' });
  const way = svg('path', { class: 'way-line' });
  const pegs = svg('g', { class: 'pegs' });
  const numbers = svg('g', { class: 'numbers' });
  const targetNumber = svg('text', { class: 'target-number' });
  const target = svg('g', {}, svg('circle', { class: 'target-halo', r: 17 }), svg('circle', { class: 'target-ring', r: 17 }));
  const boots = svg('g', { class: 'boots' },
    svg('path', { d: BOOT, transform: 'translate(-8 5)' }), svg('path', { d: BOOT, transform: 'translate(8 -3)' }));
  const node = svg('g', {}, circle, way, pegs, numbers, target, targetNumber, boots);

  const draw = (view) => {
    drawWorker(circle, boots, way, view);
    drawTarget(target, targetNumber, view);
    drawNumbers(numbers, view);
    drawPegs(pegs, view);
  };
  return { node, draw };
}

function isIn({ width, height }, [px, py], edge = 0) {
  return px > -edge && py > -edge && px < width + edge && py < height + edge;
}

function drawNumbers(group, view) {
  const { chosen, target, frame } = view;
  const spacingPx = (chosen.lengthM / chosen.points.length) * frame.scale;
  const step = NUMBER_STEPS.find((s) => s * spacingPx >= NUMBER_ROOM_PX);
  const spot = target && onScreen(view, target.x, target.y);
  const shown = step === undefined ? [] : chosen.points
    .filter(([n]) => (n === 1 || n % step === 0) && n !== target?.number)
    .map(([number, x, y]) => ({ number, dot: onScreen(view, x, y) }))
    .filter(({ dot }) => isIn(view, dot) && (!spot || Math.abs(dot[0] - spot[0]) + Math.abs(dot[1] - spot[1]) > 46))
    .map(({ number, dot }) => ({ number, spot: freeBeside(view, number, dot) }))
    .filter(({ spot: beside }) => beside !== null);
  keepChildren(group, shown.length, () => svg('text')).forEach((text, i) => {
    setText(text, String(shown[i].number));
    setAttribute(text, 'transform', `translate(${shown[i].spot[0].toFixed(1)} ${(shown[i].spot[1] + 5.5).toFixed(1)})`);
  });
}

/** A free spot for the number of a point, on the outer side of the line where it can be. */
function freeBeside(view, number, dot) {
  const spots = [21, -21].map((apart) => besideLine(view, number, dot, apart));
  return view.room.firstFree(spots, (spot) => wordsBox(String(number), NUMBER_PX.point, spot));
}

/** A spot beside the outline at a point, on its outer (left-hand) side. */
function besideLine(view, number, [px, py], apartPx) {
  const { points, closed } = view.chosen;
  const i = points.findIndex(([n]) => n === number);
  const before = points[i - 1] ?? (closed ? points.at(-1) : points[i]);
  const after = points[i + 1] ?? (closed ? points[0] : points[i]);
  const [ax, ay] = onScreen(view, before[1], before[2]);
  const [bx, by] = onScreen(view, after[1], after[2]);
  const length = Math.sqrt((bx - ax) ** 2 + (by - ay) ** 2) || 1;
  return [px + ((by - ay) / length) * apartPx, py - ((bx - ax) / length) * apartPx];
}

function drawPegs(group, view) {
  const shown = view.pegs.map((peg) => ({ peg, spot: onScreen(view, peg.x, peg.y) })).filter(({ spot }) => isIn(view, spot, 10));
  const make = () => svg('g', {}, svg('path', { d: 'M-6 -12h12l-6 14z' }), svg('text', { y: -17 }));
  keepChildren(group, shown.length, make).forEach((mark, i) => {
    const { peg, spot } = shown[i];
    setAttribute(mark, 'transform', `translate(${spot[0].toFixed(1)} ${spot[1].toFixed(1)})`);
    const name = view.frame.spanM <= 64 ? peg.id : '';
    const free = name && view.room.firstFree([[spot[0], spot[1] - 22]], (at) => wordsBox(name, NUMBER_PX.peg, at));
    setText(mark.lastChild, free ? name : '');
  });
}

function drawTarget(ring, text, view) {
  const { target } = view;
  ring.toggleAttribute('hidden', !target);
  text.toggleAttribute('hidden', !target || target.number === null);
  if (!target) return;
  const [px, py] = onScreen(view, target.x, target.y);
  setAttribute(ring, 'transform', `translate(${px.toFixed(1)} ${py.toFixed(1)})`);
  view.room.take(boxAbout([px, py], HALF_PX.ring));
  if (target.number === null) return;
  const words = String(target.number);
  const boxOf = (spot) => wordsBox(words, NUMBER_PX.target, spot);
  const [tx, ty] = view.room.firstFree(numberSpots(view, target.number, [px, py]), boxOf) ?? [px, py - NUMBER_APART_PX];
  setText(text, words);
  setAttribute(text, 'transform', `translate(${tx.toFixed(1)} ${(ty + 9).toFixed(1)})`);
}

/** Where the target's number may stand: beside the line first, then round about the ring, ever farther off. */
function numberSpots(view, number, [px, py]) {
  const beside = [NUMBER_APART_PX, -NUMBER_APART_PX].map((apart) => besideLine(view, number, [px, py], apart));
  const round = [1, 1.3, 1.6, 2].flatMap((far) => [...Array(16).keys()].map((i) => {
    const turn = (i * Math.PI) / 8;
    return [px + Math.sin(turn) * far * (NUMBER_APART_PX + 4), py - Math.cos(turn) * far * NUMBER_APART_PX];
  }));
  return [...beside, ...round];
}

function drawWorker(circle, boots, way, view) {
  const { worker, target, frame } = view;
  [circle, boots].forEach((node) => node.toggleAttribute('hidden', !worker));
  way.toggleAttribute('hidden', !worker || !target);
  if (!worker) return;
  const [px, py] = onScreen(view, worker.x, worker.y);
  const spot = `translate(${px.toFixed(1)} ${py.toFixed(1)})`;
  view.room.take(boxAbout([px, py], HALF_PX.boots));
  setAttribute(boots, 'transform', `${spot} rotate(${(worker.bearingDeg - frame.upDeg).toFixed(0)})`);
  setAttribute(circle, 'transform', spot);
  setAttribute(circle, 'r', ((worker.radiusM ?? 0) * frame.scale).toFixed(1));
  circle.classList.toggle('is-old', worker.isOld);
  if (!target) return;
  const [tx, ty] = onScreen(view, target.x, target.y);
  setAttribute(way, 'd', `M${px.toFixed(1)} ${py.toFixed(1)}L${tx.toFixed(1)} ${ty.toFixed(1)}`);
}
