// Lines between the grass and the figures, while there is something to remark: a reading going on, a compass that is wrong.

import { el, keepChildren, setText } from './element.js';

/** The lines: {node, show(words)}. */
export function createRemarks() {
  const node = el('div', { class: 'remarks', role: 'status' });
  const show = (remarks) => keepChildren(node, remarks.length, () => el('p')).forEach((line, i) => setText(line, remarks[i]));
  return { node, show };
}
