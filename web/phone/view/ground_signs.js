// The signs at the edge of the grass: where the green lies, and the scale bar. And the mowing stripes under all.

import { setAttribute, setText, svg } from './element.js';
import { onScreen } from './turning.js';

const STRIPE_BEARING_DEG = 72;
const STRIPE_WIDTHS_M = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];
const LEAST_BAR_PX = 44;

/** What the sign of the green takes of the picture, pixels. */
export const SIGN_SIZE = { width: 98, height: 38 };

/** Mowing stripes that lie still on the ground: {nodes, draw(view)}. */
export function createStripes() {
  const band = svg('rect', { class: 'stripe-band' });
  const pattern = svg('pattern', { id: 'stripes', patternUnits: 'userSpaceOnUse' }, band);
  const cover = svg('rect', { width: '100%', height: '100%', fill: 'url(#stripes)' });
  const draw = (view) => {
    const { frame, origin } = view;
    const stripe = (STRIPE_WIDTHS_M.find((m) => m * frame.scale >= 30) ?? STRIPE_WIDTHS_M.at(-1)) * frame.scale;
    const turn = STRIPE_BEARING_DEG - 90 + (origin.playBearingDeg - frame.upDeg);
    [pattern, band].forEach((node, i) => {
      setAttribute(node, 'width', 64);
      setAttribute(node, 'height', (i ? stripe : 2 * stripe).toFixed(2));
    });
    const [px, py] = onScreen(view, origin.x, origin.y);
    pattern.setAttribute('patternTransform', `translate(${px.toFixed(2)} ${py.toFixed(2)}) rotate(${turn.toFixed(2)})`);
  };
  return { nodes: [svg('defs', {}, pattern), cover], draw };
}

/** The sign in the top left corner that tells where the green lies: {node, draw(view)}. */
export function createGreenSign() {
  const arrow = svg('path', { d: 'M0 -12L8 8H-8Z' });
  const node = svg('g', { class: 'play-sign' }, arrow, svg('text', { x: 38, y: 26 }, 'green'));
  const draw = ({ origin, frame, room }) => {
    setAttribute(arrow, 'transform', `translate(22 21) rotate(${(origin.playBearingDeg - frame.upDeg).toFixed(0)})`);
    room.take({ left: 0, top: 0, right: SIGN_SIZE.width, bottom: SIGN_SIZE.height });
  };
  return { node, draw };
}

/** The scale bar at the foot, beside the plate; where there is no room for one there is none: {node, draw(view)}. */
export function createScaleBar() {
  const [halo, bar] = ['scale-halo', 'scale-line'].map((name) => svg('path', { class: name }));
  const text = svg('text', { class: 'scale-text', x: 16 });
  const node = svg('g', {}, halo, bar, text);
  const draw = ({ bar: { px, words }, barPx, full }) => {
    node.toggleAttribute('hidden', barPx < LEAST_BAR_PX || px > barPx);
    const y = full.height - 10;
    [halo, bar].forEach((path) => setAttribute(path, 'd', `M16 ${y - 7}V${y}H${(16 + px).toFixed(1)}V${y - 7}`));
    setText(text, words);
    setAttribute(text, 'y', y - 12);
  };
  return { node, draw };
}
