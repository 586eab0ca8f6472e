// The signs at the edge of the grass: where the green and the tee lie, and the scale bar. And the mowing stripes under all.

import { setAttribute, setText, svg } from './element.js';
import { onScreen } from './turning.js';

const STRIPE_BEARING_DEG = 72;
const STRIPE_WIDTHS_M = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];
const INSET = { top: 24, side: 44, bottom: 76 };

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

/** Where green and tee lie: {node, draw(view)}. The tee's sign gives way to the scale bar and the radius. */
export function createPlaySigns() {
  const [green, tee] = ['green', 'tee'].map((name) => svg('g', { class: 'play-sign' },
    svg('path', { d: 'M0 -12L8 8H-8Z' }), svg('text', { 'text-anchor': 'middle' }, name)));
  const node = svg('g', {}, green, tee);
  const draw = (view) => {
    const turn = view.origin.playBearingDeg - view.frame.upDeg;
    place(green, turn, view, true);
    place(tee, turn + 180, view, Math.cos((turn * Math.PI) / 180) < 0.3);
  };
  return { node, draw };
}

function place(sign, turnDeg, { width, height }, wanted) {
  sign.toggleAttribute('hidden', !wanted);
  const [sin, cos] = [Math.sin, Math.cos].map((f) => f((turnDeg * Math.PI) / 180));
  const room = [width / 2 - INSET.side, height / 2 - (cos > 0 ? INSET.top : INSET.bottom)];
  const reach = Math.min(room[0] / Math.max(Math.abs(sin), 1e-6), room[1] / Math.max(Math.abs(cos), 1e-6));
  const [px, py] = [width / 2 + sin * reach, height / 2 - cos * reach];
  const [arrow, text] = sign.children;
  const beside = Math.abs(sin) < 0.5;
  setAttribute(arrow, 'transform', `translate(${(px - (beside ? 34 : 0)).toFixed(1)} ${py.toFixed(1)}) rotate(${turnDeg.toFixed(0)})`);
  setAttribute(text, 'x', (px + (beside ? 9 : 0)).toFixed(1));
  setAttribute(text, 'y', (py + (beside ? 7 : 30)).toFixed(1));
}

/** The scale bar: {node, draw(view)}. It stands above the radius where there is no room beside it. */
export function createScaleBar() {
  const [halo, bar] = ['scale-halo', 'scale-line'].map((name) => svg('path', { class: name }));
  const text = svg('text', { class: 'scale-text' });
  const draw = ({ bar: { px, words }, width, height, plate }) => {
    const y = height - (16 + px > width - plate.width ? plate.height + 4 : 18);
    [halo, bar].forEach((path) => setAttribute(path, 'd', `M16 ${y - 7}V${y}H${(16 + px).toFixed(1)}V${y - 7}`));
    setText(text, words);
    setAttribute(text, 'x', 16);
    setAttribute(text, 'y', y - 13);
  };
  return { node: svg('g', {}, halo, bar, text), draw };
}
