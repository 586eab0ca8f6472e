// The head of the page: bunker and part, how many are painted, how many records wait. A tap chooses another outline.

import { el, setText } from './element.js';

/** The bar: {node, show(head)}. */
export function createHeadBar({ onChoose }) {
  const [bunker, part, progress, send] = ['head-bunker', 'head-part', 'head-progress', 'head-send'].map((name) => el('span', { class: name }));
  const node = el('button', { class: 'head', type: 'button', onclick: onChoose, 'aria-label': 'Choose what to paint' },
    el('span', { class: 'head-left' }, bunker, part), el('span', { class: 'head-right' }, progress, send));
  const show = (head) => {
    setText(bunker, head.bunker);
    setText(part, head.part);
    setText(progress, head.progress);
    setText(send, head.send);
    node.setAttribute('aria-label', `${head.bunker}, ${head.part}: ${head.progress} painted, ${head.send}. Choose what to paint`);
  };
  return { node, show };
}
