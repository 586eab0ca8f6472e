// The board of pegs: a row for each, nearest first, and a way to a new one.

import { el, keepChildren, setAttribute, setText } from './element.js';
import { pegSign } from './peg_sign.js';
import { createSegments } from './sheet.js';

/** The board: {node, show({scopes, scope, lead, rows, told})}; `onScope(scope)`, `onPeg(id)`, `onNew()`. */
export function createBoard({ onScope, onPeg, onNew }) {
  const scopes = createSegments({ label: 'Which pegs', onChoose: onScope });
  const lead = el('p', { class: 'board-lead' });
  const told = el('p', { class: 'peg-told', role: 'status', hidden: true });
  const rows = el('div', { class: 'board-rows', role: 'group', 'aria-label': 'Pegs, nearest first' });
  const fresh = el('button', { class: 'tape-row', type: 'button', onclick: onNew },
    el('strong', {}, 'New peg here'), el('span', {}, 'Before driving one: have cables, drains and pipes located by those licensed to.'));
  let shown = [];
  const make = (i) => el('button', { class: 'board-row', type: 'button', onclick: () => onPeg(shown[i].id) },
    el('span', { class: 'board-sign' }), el('strong', {}), el('b', {}), el('span', { class: 'board-state' }), el('span', { class: 'board-way' }), el('span', { class: 'board-note' }));
  const show = (model) => {
    shown = model.rows;
    scopes.show(model.scopes, model.scope);
    setText(lead, model.lead);
    told.hidden = model.told === '';
    setText(told, model.told);
    keepChildren(rows, shown.length, make).forEach((row, i) => showRow(row, shown[i]));
  };
  return { node: el('div', { class: 'board' }, scopes.node, told, lead, rows, fresh), show };
}

function showRow(row, { id, kind, state, words, told, far, way, note, photos, isBad }) {
  const [sign, name, distance, stood, path, where] = row.children;
  if (row.dataset.state !== state) sign.replaceChildren(pegSign(state));
  setAttribute(row, 'data-peg', id);
  setAttribute(row, 'data-state', state);
  setAttribute(row, 'data-bad', isBad);
  setText(name, id);
  setText(distance, far);
  setText(stood, [`${words}${told ? ` ${told}` : ''}`, `${kind} peg`, photos > 0 ? `${photos}\u00a0${photos === 1 ? 'photo' : 'photos'}` : ''].filter(Boolean).join(' · '));
  setText(path, way);
  path.hidden = way === '';
  setText(where, note);
  where.hidden = note === '';
}
