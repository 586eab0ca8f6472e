// The outlines on the grass: dotted where not yet sprayed, solid white between two sprayed neighbours, rings and dots for
// paint points. Path data is cut at the paint points once; a new fix only turns and scales the group, and swaps the pieces
// in sight.

import { setAttribute, svg } from './element.js';
import { courseTransform } from './turning.js';

const cuts = new WeakMap();
const PIECES = ['otherTodo', 'otherDone', 'todo', 'done'];
const DOTS = ['smallDot', 'ringEdge', 'ringHole', 'dotEdge', 'dotFill'];

/** The layer: {node, set(outlines, origin), draw(view)}; origin {x, y} is near the work, so that path numbers stay small. */
export function createGroundLines() {
  const paths = Object.fromEntries([...PIECES, ...DOTS].map(
    (name) => [name, svg('path', { class: `line-${name}`, 'vector-effect': 'non-scaling-stroke' })],
  ));
  const node = svg('g', {}, ...Object.values(paths));
  let outlines = [];
  let origin = { x: 0, y: 0 };
  let drawn = '';

  const set = (next, nextOrigin) => {
    [outlines, origin, drawn] = [next, nextOrigin, ''];
  };

  const draw = (view) => {
    const { frame, width, height } = view;
    node.setAttribute('transform', courseTransform(view, origin));
    const radius = Math.sqrt(width * width + height * height) / 2 / frame.scale;
    const inSight = ({ x, y, half }) => Math.abs(x - frame.x) < radius + half && Math.abs(y - frame.y) < radius + half;
    const seen = outlines.map((outline) => ({ outline, pieces: cutOutline(outline, origin).filter(inSight) }));
    const key = seen.map(({ pieces }) => pieces.map((p) => p.index).join()).join(';');
    if (key !== drawn) fill(paths, seen);
    drawn = key;
    sizeDots(paths, spacingOf(outlines) * frame.scale);
  };

  return { node, set, draw };
}

function fill(paths, seen) {
  const data = Object.fromEntries(Object.keys(paths).map((name) => [name, '']));
  for (const { outline, pieces } of seen) {
    const { chosen, near, painted } = outline;
    for (const piece of pieces) {
      const sprayed = painted.has(piece.number) && painted.has(piece.nextNumber);
      if (piece.line) data[chosen ? (sprayed ? 'done' : 'todo') : (sprayed ? 'otherDone' : 'otherTodo')] += piece.line;
      if (chosen) (painted.has(piece.number) ? ['dotEdge', 'dotFill'] : ['ringEdge', 'ringHole']).forEach((n) => { data[n] += piece.dot; });
      else if (near) data.smallDot += piece.dot;
    }
  }
  Object.entries(paths).forEach(([name, path]) => path.setAttribute('d', data[name]));
}

function spacingOf(outlines) {
  const chosen = outlines.find((o) => o.chosen);
  return chosen.lengthM / chosen.points.length;
}

/** Dots shrink when the points crowd together; where there is room, whole dots of the dotted line stand between them. */
function sizeDots(paths, spacingPx) {
  const size = Math.max(5, Math.min(18, spacingPx * 0.5));
  const apart = spacingPx < 30 ? spacingPx : spacingPx / Math.round(spacingPx / 11);
  setAttribute(paths.ringEdge, 'stroke-width', size.toFixed(1));
  setAttribute(paths.ringHole, 'stroke-width', Math.max(2, size - 7).toFixed(1));
  setAttribute(paths.dotEdge, 'stroke-width', (size + 2).toFixed(1));
  setAttribute(paths.dotFill, 'stroke-width', Math.max(3, size - 2.5).toFixed(1));
  setAttribute(paths.todo, 'stroke-dasharray', `0.1 ${(apart - 0.1).toFixed(2)}`);
}

/** An outline's pieces, one a paint point: its dot and the line to the next point. */
function cutOutline(outline, origin) {
  const held = cuts.get(outline.trace);
  if (held && held.origin === origin) return held.pieces;
  const chainages = traceChainages(outline);
  const pieces = outline.points.map((point, index) => cutPiece(outline, chainages, origin, point, index));
  cuts.set(outline.trace, { origin, pieces });
  return pieces;
}

function cutPiece(outline, chainages, origin, [number, x, y, from], index) {
  const last = index === outline.points.length - 1;
  const next = last ? (outline.closed ? outline.points[0] : null) : outline.points[index + 1];
  const dot = `M${at(x, y, origin)}h.001`;
  if (next === null) return { index, number, nextNumber: number, x, y, half: 0, dot, line: '' };
  const to = last ? outline.lengthM : next[3];
  const between = outline.trace.filter((_, i) => chainages[i] > from + 1e-6 && chainages[i] < to - 1e-6);
  const line = `M${[[x, y], ...between, [next[1], next[2]]].map(([px, py]) => at(px, py, origin)).join('L')}`;
  return { index, number, nextNumber: next[0], x, y, half: to - from, dot, line };
}

function at(x, y, origin) {
  return `${(x - origin.x).toFixed(3)} ${(y - origin.y).toFixed(3)}`;
}

function traceChainages({ trace, lengthM }) {
  const sums = [0];
  for (let i = 1; i < trace.length; i += 1) {
    const [dx, dy] = [trace[i][0] - trace[i - 1][0], trace[i][1] - trace[i - 1][1]];
    sums.push(sums[i - 1] + Math.sqrt(dx * dx + dy * dy));
  }
  return sums.map((s) => (s * lengthM) / sums.at(-1));
}
