// Sheets to choose from with a glove on: numbers, or pegs.

import { el } from './element.js';
import { createSheet } from './sheet.js';

/** A sheet of many choices: {node, open(choices), close}; choices are [{value, label, isOn, isDone}], `onChoose(value)`. */
export function createTapeChoice({ title, back, stays = false, onChoose }) {
  const grid = el('div', { class: 'tape-grid' });
  const sheet = createSheet({ title, back }, grid);
  const show = (choices) => grid.replaceChildren(...choices.map(({ value, label, isOn = false, isDone = false }) => el('button', {
    class: 'tape-cell', type: 'button', 'aria-pressed': String(isOn), 'data-done': isDone ? 'painted' : null,
    onclick: () => { if (!stays) sheet.close(); onChoose(value); },
  }, label)));
  return { node: sheet.node, show, open: (choices) => { show(choices); sheet.open(); }, close: sheet.close };
}
