// Others on the grass: a square mark and a name at the point each of them aims at.

import { keepChildren, setAttribute, setText, svg } from './element.js';
import { onScreen } from './turning.js';

const EDGE_PX = 30;

/** The layer: {node, draw(view)}. */
export function createGroundOthers() {
  const node = svg('g', { class: 'others' });
  const make = () => svg('g', {}, svg('path', { d: 'M-11 -11H11V11H-11Z' }), svg('text', { y: 31 }));
  const draw = (view) => {
    const shown = view.others.map((other) => ({ name: other.name, spot: onScreen(view, other.x, other.y) }))
      .filter(({ spot: [px, py] }) => px > -EDGE_PX && py > -EDGE_PX && px < view.width + EDGE_PX && py < view.height + EDGE_PX);
    keepChildren(node, shown.length, make).forEach((mark, i) => {
      const { name, spot: [px, py] } = shown[i];
      setAttribute(mark, 'transform', `translate(${px.toFixed(1)} ${py.toFixed(1)})`);
      setText(mark.lastChild, name);
    });
  };
  return { node, draw };
}
