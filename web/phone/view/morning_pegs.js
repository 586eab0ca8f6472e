// The pegs of a bunker to see in a morning, each found, moved or missing.

import { el, keepChildren, setText } from './element.js';
import { createSegments } from './sheet.js';

/** The part: {node, show(model)}; `on` holds onFound(peg, state) and onDone(). */
export function createMorningPegs({ onFound, onDone }) {
  const list = el('div', { class: 'pegs-to-see' });
  const none = el('p', {}, 'This bunker has no peg within one and a half tapes.');
  const done = el('button', { class: 'main-button', type: 'button', onclick: onDone }, 'Back to the check');
  const node = el('div', { class: 'morning-pegs' }, none, list, el('div', { class: 'tape-main' }, el('div', { class: 'tape-main-row' }, done)));
  const choices = new WeakMap();
  let shown = { rows: [] };
  const make = (i) => {
    const states = createSegments({ label: '', onChoose: (state) => onFound(shown.rows[i].id, state) });
    const row = el('section', { class: 'peg-to-see' }, el('h2', {}), el('p', { class: 'peg-way' }), el('p', {}), states.node);
    choices.set(row, states);
    return row;
  };

  const show = (model) => {
    shown = model;
    none.hidden = model.rows.length > 0;
    keepChildren(list, model.rows.length, make).forEach((row, i) => {
      const peg = model.rows[i];
      setText(row.children[0], `Peg ${peg.id}`);
      setText(row.children[1], peg.way);
      setText(row.children[2], peg.note);
      row.children[1].hidden = peg.way === '';
      choices.get(row).node.setAttribute('aria-label', `Peg ${peg.id} is`);
      choices.get(row).show(model.states, peg.chosen);
    });
  };
  return { node, show };
}
