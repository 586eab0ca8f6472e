// The sketch of pegs, tapes and outline on the grass.

import { el, svg } from './element.js';

/** The sketch: {node, show(picture, words)}; `words` say the same to who does not see it. */
export function createTapeSketch() {
  const picture = svg('svg', { class: 'tape-sketch', role: 'img' });
  const node = el('div', { class: 'tape-ground' }, picture);
  let shown = '';
  const show = (model, words) => {
    const key = JSON.stringify([model, words]);
    if (key === shown) return;
    shown = key;
    const { width, height } = model.size;
    picture.setAttribute('viewBox', `0 0 ${width} ${height}`);
    picture.setAttribute('aria-label', words);
    picture.replaceChildren(...stripes(model.size), ...lines(model), ...model.pegs.map(pegOf), ...targetOf(model.target), ...greenSign());
  };
  return { node, show };
}

function stripes({ width, height }) {
  const steps = Array.from({ length: Math.ceil(width / 72) }, (_, i) => 72 * i);
  return steps.map((x) => svg('rect', { class: 'stripe-band', x, y: 0, width: 36, height }));
}

const lines = ({ traces, dots, strings, arcs }) => [
  ...traces.map(({ d, isNear }) => svg('path', { d, class: isNear ? 'sketch-line' : 'sketch-other' })),
  ...strings.map(({ d, kind }) => svg('path', { d, class: `sketch-${kind}` })),
  ...arcs.map((d) => svg('path', { d, class: 'sketch-arc' })),
  ...dots.map(({ x, y }) => svg('circle', { class: 'sketch-dot', cx: x.toFixed(1), cy: y.toFixed(1), r: 3.5 })),
];

/** A peg with its name above it, below it at the top of the picture. */
function pegOf({ name, x, y, isUsed }) {
  const [cx, cy] = [x.toFixed(1), y.toFixed(1)];
  const labelY = y < 40 ? y + 22 : y - 11;
  return svg('g', { class: isUsed ? 'sketch-peg is-used' : 'sketch-peg' },
    svg('path', { d: `M${cx} ${cy}m-6 -6h12v12h-12z` }), svg('text', { x: cx, y: labelY.toFixed(1) }, name));
}

function targetOf(target) {
  if (target === null) return [];
  const [cx, cy] = [target.x.toFixed(1), target.y.toFixed(1)];
  return [
    svg('circle', { class: 'sketch-halo', cx, cy, r: 9 }), svg('circle', { class: 'sketch-ring', cx, cy, r: 9 }),
    svg('text', { class: 'sketch-number', x: (target.x + 14).toFixed(1), y: (target.y + 6).toFixed(1) }, target.label),
  ];
}

const greenSign = () => [svg('path', { class: 'sketch-green', d: 'M16 8L23 24H9Z' }), svg('text', { class: 'sketch-green-word', x: 28, y: 22 }, 'green')];
