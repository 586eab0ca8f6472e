// A list of large rows to choose from.

import { el, keepChildren, setAttribute, setText } from './element.js';

/** The rows: {node, show([{name, label, words, weight, state}])}; `onChoose(name)`. */
export function createTapeRows({ label, onChoose }) {
  const node = el('div', { class: 'tape-rows', role: 'group', 'aria-label': label });
  let shown = [];
  const make = (i) => el('button', { class: 'tape-row', type: 'button', onclick: () => onChoose(shown[i].name) }, el('strong', {}), el('span', {}));
  const show = (rows) => {
    shown = rows;
    keepChildren(node, rows.length, make).forEach((row, i) => {
      setText(row.firstChild, rows[i].label);
      setText(row.lastChild, rows[i].words);
      row.lastChild.hidden = rows[i].words === '';
      setAttribute(row, 'data-weight', rows[i].weight ?? 'plain');
      setAttribute(row, 'data-state', rows[i].state ?? null);
      setAttribute(row, 'data-name', rows[i].name);
    });
  };
  return { node, show };
}
