// What must not be overlooked, in words, above everything else: storage that fails, records refused, no signal.

import { el, keepChildren, setText } from './element.js';

/** The notices: {node, show([{words, danger}])}. */
export function createNotices() {
  const node = el('div', { class: 'notices', role: 'alert' });
  const show = (notices) => keepChildren(node, notices.length, () => el('p')).forEach((line, i) => {
    setText(line, notices[i].words);
    line.classList.toggle('is-danger', notices[i].danger);
  });
  return { node, show };
}
