// The points of the outline in hand, all in one line of signs. Those chosen are drawn apart: while they are dragged the others stay
// untouched; while all are dragged the others are not seen.

import { setAttribute, svg } from '../../phone/view/element.js';
import { toSheet } from './camera.js';

/** A sign from the middle of its place. */
const SIGN_OF = { plain: 'm-4.5 0a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0 -9 0z', corner: 'm-4.5 -4.5h9v9h-9z', through: 'm0 -6l6 6l-6 6l-6 -6z' };
const LEAST_APART_PX = 9;

/** {rest, chosen, draw(camera, state)}: two paths; `state` as the bench holds it: {doc, outlineId, chosen, mayEdit, isDragging}. */
export function createMarks() {
  const [rest, held] = [svg('path'), svg('path', { class: 'board-points chosen' })];
  const drawn = { camera: null, points: [], chosen: null, isHidden: false };
  const draw = (camera, { doc, outlineId, chosen, mayEdit, isDragging }) => {
    const points = (mayEdit && doc.outlines.find(({ id }) => id === outlineId)?.points) || [];
    const isMoved = drawn.camera !== camera;
    if (isMoved || drawn.points.length !== points.length) setAttribute(rest, 'class', isCrowded(camera, points) ? 'board-points crowded' : 'board-points');
    const picked = new Set(chosen);
    const isOther = isMoved || drawn.chosen !== chosen || drawn.points.length !== points.length;
    const isLate = drawn.isHidden || points.some((point, at) => point !== drawn.points[at] && !picked.has(at));
    const isHidden = isDragging && isLate && !isOther;
    setAttribute(rest, 'visibility', isHidden ? 'hidden' : null);
    if (isOther || (isLate && !isHidden)) setAttribute(rest, 'd', signs(camera, points.filter((_, at) => !picked.has(at))));
    setAttribute(held, 'data-at', chosen.join(' '));
    setAttribute(held, 'd', signs(camera, chosen.map((at) => points[at])));
    Object.assign(drawn, { camera, points, chosen, isHidden });
  };
  return { rest, chosen: held, draw };
}

function signs(camera, points) {
  return points.map(([x, y, role]) => {
    const [px, py] = toSheet(camera, x, y);
    return `M${px.toFixed(1)} ${py.toFixed(1)}${SIGN_OF[role ?? 'plain']}`;
  }).join('');
}

/** Whether points lie too close on the sheet to be told apart at their full size. */
function isCrowded(camera, points) {
  if (points.length < 2) return false;
  const apart = points.slice(1).reduce((sum, [x, y], at) => sum + Math.hypot(x - points[at][0], y - points[at][1]), 0);
  return (apart / (points.length - 1)) * camera.pxPerM < LEAST_APART_PX;
}
