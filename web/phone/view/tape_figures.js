// Distances to tape, large enough to be read while both hands hold tapes, and what is to be known of them.

import { el, keepChildren, setAttribute, setText } from './element.js';

/** {node, basis: small print to stand below, show({rows, side, check, error, basis, poor, why, leftOut})}; see session/tie_model.js. */
export function createTapeFigures() {
  const rows = el('ul', { class: 'tape-figures' });
  const [side, error, basis] = ['tape-side', 'tape-error', 'tape-basis'].map((name) => el('p', { class: name }));
  const notes = el('ul', { class: 'tape-notes' });
  const node = el('div', { class: 'tape-told' }, rows, side, notes, error);
  const show = (model) => {
    const check = model.check ? [{ ...model.check, isCheck: true }] : [];
    const all = model.rows.concat(check);
    rows.hidden = all.length === 0;
    keepChildren(rows, all.length, makeRow).forEach((row, i) => showRow(row, all[i]));
    [[side, model.side], [error, model.error], [basis, model.basis]].forEach(([p, words]) => { p.hidden = !words; setText(p, words ?? ''); });
    const told = (model.why ? [model.why] : []).concat(model.poor ? [{ title: '', detail: model.poor }] : [], model.leftOut.map((detail) => ({ title: '', detail })));
    notes.hidden = told.length === 0;
    keepChildren(notes, told.length, () => el('li', {}, el('strong', {}), el('span', {}))).forEach((li, i) => {
      setText(li.firstChild, told[i].title);
      li.firstChild.hidden = told[i].title === '';
      setText(li.lastChild, told[i].detail);
    });
  };
  return { node, basis, show };
}

const makeRow = () => el('li', {}, el('span', { class: 'tape-words' }), el('strong', { class: 'tape-figure' }, el('span', {}), el('small', {})), el('span', { class: 'tape-note' }));

function showRow(row, { words, figure, sign, note, within = '', isCheck = false }) {
  const [name, value, more] = row.children;
  setAttribute(row, 'data-check', isCheck ? 'check' : null);
  setText(name, words);
  setText(value.firstChild, figure);
  setText(value.lastChild, within === '' ? sign : `${sign} ${within}`);
  more.hidden = note === '';
  setText(more, note);
}
