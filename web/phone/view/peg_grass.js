// A peg on the grass: the circle to search, the worker's boots, and the way between them. Up is toward the green.

import { setAttribute, setText, svg } from './element.js';

const [WIDTH, HEIGHT, EDGE_PX, LARGEST_SCALE] = [336, 152, 30, 60];
const BOOT = 'M-4.5 -1V-12a4.5 6 0 0 1 9 0V-1zM-4 3h8v3.500a4 4 0 0 1 -8 0z';
const STRIPES = [0, 2, 4, 6].map((i) => svg('rect', { class: 'peg-stripe', x: 0, y: (i * HEIGHT) / 8, width: WIDTH, height: HEIGHT / 8 }));

/** The picture: {node, show({rightM, upM, turnDeg, searchM, isOld, peg} or null)}: where the worker stands from the peg, ground metres. */
export function createPegGrass() {
  const circle = svg('circle', { class: 'peg-search' });
  const way = svg('path', { class: 'peg-way' });
  const name = svg('text', { y: -18, class: 'peg-grass-name' });
  const peg = svg('g', {}, svg('path', { class: 'peg-stake', d: 'M-7 -13h14l-7 16z' }), name);
  const boots = svg('g', { class: 'peg-boots' }, svg('path', { d: BOOT, transform: 'translate(-8 5)' }), svg('path', { d: BOOT, transform: 'translate(8 -3)' }));
  const green = svg('g', { class: 'peg-green' }, svg('path', { d: 'M14 28V11M8 17L14 10L20 17' }), svg('text', { x: 26, y: 25 }, 'green'));
  const node = svg('svg', { class: 'peg-grass', viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: 'img', 'aria-label': 'You, the peg and the circle to search' },
    ...STRIPES.map((stripe) => stripe.cloneNode()), circle, way, boots, peg, green);
  const show = (picture) => {
    node.toggleAttribute('hidden', picture === null);
    if (picture === null) return;
    const { place, scale } = fitted(picture);
    const [px, py] = place(0, 0);
    const [bx, by] = place(picture.rightM, picture.upM);
    setText(name, picture.peg);
    [[peg, `translate(${px} ${py})`], [circle, `translate(${px} ${py})`], [boots, `translate(${bx} ${by}) rotate(${picture.turnDeg.toFixed(0)})`]]
      .forEach(([part, turn]) => setAttribute(part, 'transform', turn));
    setAttribute(circle, 'r', ((picture.searchM ?? 0) * scale).toFixed(1));
    setAttribute(way, 'd', `M${bx} ${by}L${px} ${py}`);
    node.classList.toggle('is-old', picture.isOld);
  };
  return { node, show };
}

/** How ground metres from the peg lie in the picture, so that boots and circle are both seen: {place(rightM, upM), scale}. */
function fitted({ rightM, upM, searchM }) {
  const r = searchM ?? 0;
  const [left, right] = [Math.min(rightM, -r), Math.max(rightM, r)];
  const [low, high] = [Math.min(upM, -r), Math.max(upM, r)];
  const scale = Math.min((WIDTH - 2 * EDGE_PX) / (right - left || 1), (HEIGHT - 2 * EDGE_PX) / (high - low || 1), LARGEST_SCALE);
  const place = (x, y) => [WIDTH / 2 + (x - (left + right) / 2) * scale, HEIGHT / 2 - (y - (low + high) / 2) * scale].map((px) => px.toFixed(1));
  return { place, scale };
}
