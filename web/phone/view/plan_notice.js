// That a newer plan has come, above the figures, with the one tap that takes it.

import { el, setText } from './element.js';

/** The notice: {node, show(words or null)}. */
export function createPlanNotice({ onTake }) {
  const words = el('p', { role: 'status' });
  const node = el('div', { class: 'plan-notice', hidden: true }, words,
    el('button', { class: 'tool', type: 'button', onclick: onTake }, 'Take it'));
  const show = (text) => {
    node.hidden = text === null;
    setText(words, text ?? '');
  };
  return { node, show };
}
