// The points of the outline in hand. Those chosen are drawn apart, so that while they are dragged the others stay untouched.

import { keepChildren, setAttribute, svg } from '../../phone/view/element.js';
import { toSheet } from './camera.js';

const SIGN_OF = { plain: 'M-4.5 0A4.5 4.5 0 1 0 4.5 0A4.5 4.5 0 1 0 -4.5 0Z', corner: 'M-4.5 -4.5H4.5V4.5H-4.5Z', through: 'M0 -6L6 0L0 6L-6 0Z' };
const LEAST_APART_PX = 9;

/** {rest, chosen, draw(camera, state)}: two groups; `state` as the bench holds it: {doc, outlineId, chosen, mayEdit}. */
export function createMarks() {
  const [rest, held] = [svg('g', { class: 'board-points' }), svg('g', { class: 'board-points' })];
  const drawn = { camera: null, points: [], chosen: null, count: 0 };
  const draw = (camera, { doc, outlineId, chosen, mayEdit }) => {
    const points = (mayEdit && doc.outlines.find(({ id }) => id === outlineId)?.points) || [];
    const isMoved = drawn.camera !== camera;
    if (isMoved || drawn.count !== points.length) setAttribute(rest, 'class', isCrowded(camera, points) ? 'board-points crowded' : 'board-points');
    const picked = new Set(chosen);
    const nodes = keepChildren(rest, points.length, (at) => svg('path', { class: 'board-point', 'data-at': at }));
    if (drawn.chosen !== chosen || drawn.count !== points.length) nodes.forEach((mark, at) => setAttribute(mark, 'visibility', picked.has(at) ? 'hidden' : null));
    points.forEach((point, at) => {
      if (picked.has(at) || (!isMoved && drawn.points[at] === point)) return;
      put(nodes[at], camera, point);
      drawn.points[at] = point;
    });
    drawn.points.length = points.length;
    const marks = keepChildren(held, chosen.length, () => svg('path', { class: 'board-point chosen' }));
    chosen.forEach((at, turn) => {
      setAttribute(marks[turn], 'data-at', at);
      put(marks[turn], camera, points[at]);
      drawn.points[at] = null;
    });
    Object.assign(drawn, { camera, chosen, count: points.length });
  };
  return { rest, chosen: held, draw };
}

function put(mark, camera, point) {
  const [px, py] = toSheet(camera, point[0], point[1]);
  setAttribute(mark, 'd', SIGN_OF[point[2] ?? 'plain']);
  setAttribute(mark, 'transform', `translate(${px.toFixed(1)} ${py.toFixed(1)})`);
}

/** Whether points lie too close on the sheet to be told apart at their full size. */
function isCrowded(camera, points) {
  if (points.length < 2) return false;
  const apart = points.slice(1).reduce((sum, [x, y], at) => sum + Math.hypot(x - points[at][0], y - points[at][1]), 0);
  return (apart / (points.length - 1)) * camera.pxPerM < LEAST_APART_PX;
}
