// Others on the grass: a square mark and a name at the point each of them aims at.

import { keepChildren, setAttribute, setText, svg } from './element.js';
import { wordsBox } from './ground_room.js';
import { onScreen } from './turning.js';

const NAME_PX = 16;

/** The layer: {node, draw(view)}. A name that would cover boots, target or a number is left out: the large button tells it. */
export function createGroundOthers() {
  const node = svg('g', { class: 'others' });
  const make = () => svg('g', {}, svg('path', { d: 'M-11 -11H11V11H-11Z' }), svg('text', { 'dominant-baseline': 'central' }));
  const draw = (view) => {
    const shown = view.others.map((other) => ({ name: other.name, spot: onScreen(view, other.x, other.y) }))
      .filter(({ spot: [px, py] }) => px > 0 && py > 0 && px < view.width && py < view.height);
    keepChildren(node, shown.length, make).forEach((mark, i) => drawOther(mark, shown[i], view.room));
  };
  return { node, draw };
}

function drawOther(mark, { name, spot: [px, py] }, room) {
  const [square, text] = mark.children;
  setAttribute(square, 'transform', `translate(${px.toFixed(1)} ${py.toFixed(1)})`);
  const aside = 30 + name.length * NAME_PX * 0.31;
  const spots = [[0, 36], [0, -36], [aside, 0], [-aside, 0], [aside, 28], [-aside, 28], [aside, -28], [-aside, -28]];
  const free = room.firstFree(spots.map(([dx, dy]) => [px + dx, py + dy]), (spot) => wordsBox(name, NAME_PX, spot));
  text.toggleAttribute('hidden', free === null);
  setText(text, name);
  if (free === null) return;
  setAttribute(text, 'x', free[0].toFixed(1));
  setAttribute(text, 'y', free[1].toFixed(1));
}
