// What stands on the grass at a size of its own: numbers, target, boots in their circle, the way between them, pegs.

import { keepChildren, setAttribute, setText, svg } from './element.js';
import { onScreen } from './turning.js';

const NUMBER_STEPS = [1, 2, 5, 10, 20, 50, 100];
const NUMBER_ROOM_PX = 38;
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
    drawNumbers(numbers, view);
    drawPegs(pegs, view);
    drawTarget(target, targetNumber, view);
    drawWorker(circle, boots, way, view);
  };
  return { node, draw };
}

function isIn({ width, height }, [px, py], edge = 0) {
  return px > -edge && py > -edge && px < width + edge && py < height + edge;
}

/** Clear of the picture's edge, of the sign at its top and of the scale bar and radius along its foot. */
function isReadable({ width, height }, [px, py]) {
  const underSign = py < 40 && Math.abs(px - width / 2) < 70;
  return px > 16 && px < width - 16 && py > 12 && py < height - 58 && !underSign;
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
    .map(({ number, dot }) => ({ number, spot: besideLine(view, number, dot, 21) }))
    .filter(({ spot: beside }) => isReadable(view, beside));
  keepChildren(group, shown.length, () => svg('text')).forEach((text, i) => {
    setText(text, String(shown[i].number));
    setAttribute(text, 'transform', `translate(${shown[i].spot[0].toFixed(1)} ${(shown[i].spot[1] + 5.5).toFixed(1)})`);
  });
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
    setText(mark.lastChild, view.frame.spanM <= 64 && isClear(view, spot) ? peg.id : '');
  });
}

/** Whether a peg's name would stand clear of the target and its number. */
function isClear(view, [px, py]) {
  if (!view.target) return true;
  const [tx, ty] = onScreen(view, view.target.x, view.target.y);
  return Math.abs(px - tx) > 80 || Math.abs(py - ty) > 80;
}

function drawTarget(ring, text, view) {
  const { target } = view;
  ring.toggleAttribute('hidden', !target);
  text.toggleAttribute('hidden', !target || target.number === null);
  if (!target) return;
  const [px, py] = onScreen(view, target.x, target.y);
  setAttribute(ring, 'transform', `translate(${px.toFixed(1)} ${py.toFixed(1)})`);
  if (target.number === null) return;
  const outer = besideLine(view, target.number, [px, py], 38);
  const [tx, ty] = isReadable(view, outer) ? outer : besideLine(view, target.number, [px, py], -38);
  setText(text, String(target.number));
  const [lx, ly] = [Math.max(24, Math.min(view.width - 24, tx)), Math.max(26, Math.min(view.height - 26, ty)) + 9];
  setAttribute(text, 'transform', `translate(${lx.toFixed(1)} ${ly.toFixed(1)})`);
}

function drawWorker(circle, boots, way, view) {
  const { worker, target, frame } = view;
  [circle, boots].forEach((node) => node.toggleAttribute('hidden', !worker));
  way.toggleAttribute('hidden', !worker || !target);
  if (!worker) return;
  const [px, py] = onScreen(view, worker.x, worker.y);
  const spot = `translate(${px.toFixed(1)} ${py.toFixed(1)})`;
  setAttribute(boots, 'transform', `${spot} rotate(${(worker.bearingDeg - frame.upDeg).toFixed(0)})`);
  setAttribute(circle, 'transform', spot);
  setAttribute(circle, 'r', ((worker.radiusM ?? 0) * frame.scale).toFixed(1));
  circle.classList.toggle('is-old', worker.isOld);
  if (!target) return;
  const [tx, ty] = onScreen(view, target.x, target.y);
  setAttribute(way, 'd', `M${px.toFixed(1)} ${py.toFixed(1)}L${tx.toFixed(1)} ${ty.toFixed(1)}`);
}
