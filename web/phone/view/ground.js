// The grass around the worker: an SVG that stands as the play does, with taps and drags reported upward.

import { el, setText, svg } from './element.js';
import { createGroundLines } from './ground_lines.js';
import { createGroundOthers } from './ground_others.js';
import { createGroundPoints } from './ground_points.js';
import { createRoom } from './ground_room.js';
import { createGreenSign, createScaleBar, createStripes, SIGN_SIZE } from './ground_signs.js';
import { onCourse, stepOnCourse } from './turning.js';

const TAP_PX = 10;
const FOOT_PX = 46;
const BAR_PX = { most: 84, margin: 40 };

/** The ground: {node, size(), step(right, down), set(hole), draw(picture), setRadius(words, note)}. `onTap({x, y, scale})` and `onDrag({dx, dy})` are in course metres. */
export function createGround({ onTap, onDrag, onRadius, onResize }) {
  const [stripes, lines, others, points, sign, bar] = [createStripes(), createGroundLines(), createGroundOthers(), createGroundPoints(), createGreenSign(), createScaleBar()];
  const picture = svg('svg', { class: 'grass', role: 'img', 'aria-label': 'The ground around you' },
    ...stripes.nodes, lines.node, others.node, points.node, sign.node, bar.node);
  const radius = el('span', { class: 'radius-words' });
  const radiusNote = el('small', { class: 'radius-note' });
  const plate = el('span', { class: 'radius-plate' }, radius, radiusNote);
  const badge = el('button', { class: 'radius', type: 'button', onclick: onRadius }, plate);
  const node = el('div', { class: 'ground' }, picture, badge);
  let hole = null;
  let view = null;
  let size = { width: 1, height: 1 };
  let plateSize = { width: 0, height: 0 };
  new ResizeObserver(([entry]) => {
    size = entry.contentRect;
    onResize();
  }).observe(node);
  new ResizeObserver(([{ borderBoxSize: [box] }]) => {
    plateSize = { width: box.inlineSize, height: box.blockSize + 10 };
    onResize();
  }).observe(plate);

  /** The grass above the plate at its foot, and what the sign takes of it: only there may boots and target stand. */
  const clearSize = () => ({
    width: Math.max(1, size.width),
    height: Math.max(1, size.height - Math.max(FOOT_PX, plateSize.height)),
    corner: SIGN_SIZE,
    barPx: Math.min(BAR_PX.most, size.width - plateSize.width - BAR_PX.margin),
  });

  const draw = (next) => {
    const clear = clearSize();
    view = { ...next, ...hole, ...clear, full: size, room: createRoom(clear) };
    [stripes, lines, sign, points, others, bar].forEach((layer) => layer.draw(view));
  };

  listenToFingers(picture, {
    onTap: (px, py) => view && onTap({ ...onCourse(view, px, py), scale: view.frame.scale }),
    onDrag: (dx, dy) => view && onDrag(stepOnCourse(view.frame, dx, dy)),
  });

  return {
    node, draw,
    size: clearSize,
    set: (next) => { hole = next; lines.set(next.outlines, next.origin); },
    step: (rightPx, downPx) => (view ? stepOnCourse(view.frame, rightPx, downPx) : { dx: 0, dy: 0 }),
    setRadius: (words, note) => {
      setText(radius, words);
      setText(radiusNote, note);
      radiusNote.hidden = note === '';
    },
  };
}

/** Fingers on the picture: a short touch is a tap, a longer way a drag. */
function listenToFingers(picture, { onTap, onDrag }) {
  let finger = null;
  picture.addEventListener('pointerdown', (event) => {
    finger = { id: event.pointerId, x: event.offsetX, y: event.offsetY, moved: false };
    picture.setPointerCapture(event.pointerId);
  });
  picture.addEventListener('pointermove', (event) => {
    if (finger?.id !== event.pointerId) return;
    const [dx, dy] = [event.offsetX - finger.x, event.offsetY - finger.y];
    if (!finger.moved && Math.abs(dx) + Math.abs(dy) < TAP_PX) return;
    finger = { ...finger, x: event.offsetX, y: event.offsetY, moved: true };
    onDrag(dx, dy);
  });
  picture.addEventListener('pointerup', (event) => {
    if (finger?.id === event.pointerId && !finger.moved) onTap(event.offsetX, event.offsetY);
    finger = null;
  });
  picture.addEventListener('pointercancel', () => { finger = null; });
}
