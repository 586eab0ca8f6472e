// What is chosen and typed of a measured point: how, from which pegs, two lengths, and the side.

import { el, keepChildren, setAttribute, setText } from './element.js';
import { createSegments } from './sheet.js';

/**
 * The form: {node, show(model), focusFirst()}; `onEntry(changes)` with every choice and key, `onAdd()` when a point is to be
 * added, `onChange()` when other pegs are wanted, `onLook()` to look at the line, `onBack()` to take
 * the last point away.
 */
export function createCaptureEntry({ onEntry, onAdd, onChange, onLook, onBack }) {
  const way = createSegments({ label: 'How this point is measured', onChoose: (by) => onEntry({ by }) });
  let shown = null;
  const choosePeg = (i) => (id) => onEntry({ pegs: shown.ends.map((end, at) => (at === i ? id : end.chosen)) });
  const ends = [0, 1].map((i) => createEnd(choosePeg(i)));
  const fields = ['first', 'second'].map((name) => createField((typed) => onEntry({ [name]: typed })));
  const side = createSegments({ label: 'Side', onChoose: (chosen) => onEntry({ side: chosen }) });
  const sideLabel = el('span', { class: 'entry-label' });
  const sides = el('div', { class: 'entry-side' }, sideLabel, side.node);
  const here = el('p', {});
  const leftOut = el('p', {});
  const told = el('div', { class: 'entry-told', role: 'status' });
  const add = el('button', { class: 'main-button', type: 'submit' });
  const look = el('button', { class: 'tool', type: 'button', onclick: onLook });
  const change = el('button', { class: 'tool', type: 'button', onclick: onChange });
  const back = el('button', { class: 'tool', type: 'button', onclick: onBack });
  const lengths = el('div', { class: 'entry-lengths' }, ...fields.map(({ node }) => node));
  const node = el('form', { class: 'entry', novalidate: true, onsubmit: (event) => { event.preventDefault(); onAdd(); } },
    way.node, change, ...ends.map((end) => end.node), told, lengths, sides, here, back, leftOut,
    el('div', { class: 'tape-main' }, el('div', { class: 'tape-main-row' }, add, look)));

  /** What was said of the last press pushes the fields down, and is brought into sight once. */
  const tell = (lines) => {
    const before = told.textContent;
    told.hidden = lines.length === 0;
    keepChildren(told, lines.length, () => el('p')).forEach((line, i) => setText(line, lines[i]));
    if (lines.length > 0 && told.textContent !== before) told.scrollIntoView({ block: 'nearest' });
  };

  const show = (model) => {
    shown = model;
    way.show(model.ways, model.way);
    ends.forEach((end, i) => showEnd(end, model.ends[i], model.pegs));
    change.hidden = model.change === null;
    setText(change, model.change ?? '');
    lengths.hidden = model.fields.length === 0;
    model.fields.forEach(({ label, value }, i) => {
      setText(fields[i].words, label);
      if (fields[i].input.value !== value) fields[i].input.value = value;
    });
    sides.hidden = model.sides === null;
    setText(sideLabel, model.sides?.label ?? '');
    side.show([['left', 'Left'], ['right', 'Right']], model.sides?.chosen);
    here.hidden = model.here === null;
    setText(here, model.here ?? '');
    leftOut.hidden = model.leftOut === null;
    setText(leftOut, model.leftOut ?? '');
    tell(model.told);
    setText(add, model.add.label);
    back.hidden = model.back === null;
    setText(back, model.back ?? '');
    look.hidden = model.look === null;
    setText(look, model.look ?? '');
    setAttribute(add, 'data-state', model.add.isAsking ? 'asking' : 'ready');
  };
  return { node, show, focusFirst: () => { if (!lengths.hidden) fields[0].input.focus(); } };
}

function createEnd(onChoose) {
  const label = el('span', { class: 'entry-label' });
  const pegs = createSegments({ label: '', onChoose });
  return { node: el('div', { class: 'entry-pegs' }, label, pegs.node), label, pegs };
}

function createField(onTyped) {
  const words = el('span', {});
  const input = el('input', { class: 'entry-length', type: 'text', inputmode: 'decimal', autocomplete: 'off', enterkeyhint: 'next', oninput: () => onTyped(input.value) });
  return { node: el('label', { class: 'entry-field' }, words, input), words, input };
}

function showEnd({ node, label, pegs }, end, ids) {
  node.hidden = end === undefined;
  setText(label, end?.label ?? '');
  setAttribute(pegs.node, 'aria-label', end?.label ?? '');
  pegs.show(ids, end?.chosen);
}
