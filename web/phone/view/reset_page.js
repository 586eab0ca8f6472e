// A lost peg: which one, where to put it, and the distances taped to it afterwards.

import { el, keepChildren, setAttribute, setText } from './element.js';
import { createMarkButton } from './mark_button.js';
import { createSegments } from './sheet.js';
import { createTapeFigures } from './tape_figures.js';
import { createTapeRows } from './tape_rows.js';
import { createTapeSketch } from './tape_sketch.js';
import { createVerdictStrip } from './verdict_strip.js';

const CAUTION = 'Before you drive a peg, find out where pipes and cables lie. Keep clear of play and of machines.';

/** The screen: {node, button, showChoice({rows, words, undo}), show(model)}; `on` holds lost(id), typed(id, text), side(name), press(), undo(). */
export function createResetPage(on) {
  const [choice, lost] = [createChoice(on), createLost(on)];
  const node = el('div', { class: 'tape-wide' });
  const put = (part) => { if (node.firstChild !== part.node) node.replaceChildren(part.node); };
  return {
    node, button: lost.button,
    showChoice: (model) => { put(choice); choice.show(model); },
    show: (model) => { put(lost); lost.show(model); },
  };
}

function createChoice(on) {
  const rows = createTapeRows({ label: 'Which peg', onChoose: on.lost });
  const intro = el('p', { class: 'tape-side' });
  const undo = el('button', { class: 'tool', type: 'button', onclick: on.undo });
  const node = el('div', { class: 'tape-steps' }, intro, rows.node, el('div', { class: 'tools' }, undo));
  const show = (model) => {
    setText(intro, model.words);
    rows.show(model.rows);
    undo.hidden = model.undo === null;
    setText(undo, model.undo ?? '');
  };
  return { node, show };
}

function createLost(on) {
  const sketch = createTapeSketch();
  const [title, state] = [el('h2', {}), el('p', {})];
  const figures = createTapeFigures();
  const fields = el('div', { class: 'tape-fields' });
  const heading = el('h2', { class: 'tape-heading' }, 'Then tape it again');
  const ask = el('p', { class: 'tape-side' });
  const sides = createSegments({ label: 'Side', onChoose: on.side });
  const verdict = createVerdictStrip({ className: 'tape-verdict' });
  const button = createMarkButton({ onPress: on.press });
  const act = el('div', { class: 'tape-act' }, button.node);
  const node = el('div', { class: 'tape-screen' }, sketch.node, el('div', { class: 'tape-steps' },
    el('div', { class: 'tape-title' }, title, state), figures.node, figures.basis, heading, fields, ask, sides.node, verdict.node,
    el('p', { class: 'tape-basis' }, CAUTION), act));
  const show = (model) => {
    sketch.show(model.sketch, model.side ?? model.why.title);
    setText(title, model.title);
    setText(state, model.progress);
    figures.show(model);
    heading.hidden = model.fields.length < 2;
    keepChildren(fields, model.fields.length, () => makeField(on)).forEach((field, i) => showField(field, model.fields[i]));
    [ask, sides.node].forEach((one) => { one.hidden = model.sides === null; });
    if (model.sides) { setText(ask, model.sides.words); sides.show(model.sides.options, model.sides.side); }
    verdict.node.hidden = model.verdict === null;
    if (model.verdict) verdict.show(model.verdict);
    button.node.disabled = model.save.made === null;
    button.show({ label: model.save.label, note: model.save.note, holdWords: 'Hold to save', action: 'mark' });
  };
  return { node, button, show };
}

/** A field for one tape: what it should read, what it reads, and how that fits. */
function makeField(on) {
  const input = el('input', { class: 'name', inputmode: 'decimal', autocomplete: 'off', oninput: (event) => on.typed(event.target.name, event.target.value) });
  return el('div', { class: 'tape-field' }, el('label', {}, el('strong', {}), el('span', {})), el('span', { class: 'tape-input' }, input, el('span', {})), el('p', {}));
}

function showField(node, { id, typed, should, sign, residual, fault }) {
  const [label, box, told] = node.children;
  const [input, unit] = box.children;
  setAttribute(label, 'for', `tape-${id}`);
  setText(label.firstChild, `From ${id}`);
  setText(label.lastChild, `should read ${should}`);
  setAttribute(input, 'id', `tape-${id}`);
  setAttribute(input, 'name', id);
  setAttribute(input, 'aria-invalid', fault ? 'true' : null);
  if (input.value !== typed) input.value = typed;
  setText(unit, sign);
  setText(told, fault ?? residual);
  told.hidden = told.textContent === '';
}
