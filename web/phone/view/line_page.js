// One place from the string: how far along and how far square to it; or the whole list.

import { el, setAttribute, setText } from './element.js';
import { createPointSteps } from './point_steps.js';
import { createSegments, createSheet } from './sheet.js';
import { createTapeChoice } from './tape_choice.js';
import { createTapeFigures } from './tape_figures.js';
import { createTapeFoot } from './tape_foot.js';
import { createTapeSketch } from './tape_sketch.js';

/** The screen: {node, button, show(model)}; `on` as for the ties, and end('startId' | 'endId', id), turn(), mode(name), every(text). */
export function createLinePage(on) {
  let shown = null;
  const sketch = createTapeSketch();
  const [title, progress] = [el('h2', {}), el('p', {})];
  const figures = createTapeFigures();
  const steps = createPointSteps(on);
  const foot = createTapeFoot({ steps, onPress: on.press, onPegs: on.toPegs });
  const ends = endChoices(on, () => shown);
  const modes = createSegments({ label: 'What to measure', onChoose: on.mode });
  const every = createEvery(on.every);
  const list = createList();
  const whole = el('button', { class: 'tool', type: 'button', onclick: () => list.open(shown) }, 'Whole list');
  const node = el('div', { class: 'tape-screen' }, sketch.node, el('div', { class: 'tape-steps' },
    el('div', { class: 'tape-title' }, title, progress), figures.node, modes.node, every.node,
    el('div', { class: 'tools' }, ...ends.buttons), el('div', { class: 'tools' }, steps.choose, whole), steps.outlines, figures.basis), foot.node, steps.sheet, list.node, ...ends.sheets);
  const show = (model) => {
    shown = model;
    sketch.show(model.sketch, model.why?.title ?? model.side);
    setText(title, model.title);
    setText(progress, model.everyM === null ? model.progress : 'places on the squares');
    figures.show(model);
    steps.show(model);
    ends.show(model);
    whole.hidden = model.list.length === 0;
    modes.node.hidden = model.list.length === 0 && model.everyM === null;
    modes.show([['points', 'Every point'], ['every', 'Equal steps']], model.everyM === null ? 'points' : 'every');
    every.show(model);
    foot.show(model);
    [steps.before, steps.next].forEach((step) => { step.hidden = model.list.length === 0; });
  };
  return { node, button: foot.button, show };
}

/** The buttons that choose the two ends, and one that turns the string about. */
function endChoices(on, shown) {
  const sheets = [['startId', 'The string starts at'], ['endId', 'The string ends at']].map(([name, title]) => createTapeChoice({ title, back: 'Back', onChoose: (id) => on.end(name, id) }));
  const open = (i, name) => () => sheets[i].open(shown().pegs.map((id) => ({ value: id, label: id, isOn: id === shown()[name] })));
  const tool = (act) => el('button', { class: 'tool', type: 'button', onclick: act });
  const [start, end, turn] = [tool(open(0, 'startId')), tool(open(1, 'endId')), tool(on.turn)];
  turn.append('Turn about');
  return {
    buttons: [start, end, turn], sheets: sheets.map(({ node }) => node),
    show: (model) => {
      [start, end, turn].forEach((one) => { one.hidden = model.startId === null; });
      setText(start, `From ${model.startId}`);
      setText(end, `To ${model.endId}`);
    },
  };
}

/** The field of the spacing along the string. */
function createEvery(onEvery) {
  const input = el('input', { class: 'name', id: 'every', inputmode: 'decimal', autocomplete: 'off', onchange: (event) => onEvery(event.target.value) });
  const [label, fault] = [el('label', { for: 'every' }), el('p', { class: 'field-missing', role: 'alert' })];
  const node = el('div', { class: 'field' }, label, input, fault);
  const show = ({ everyM, everyTyped, everyFault, sign }) => {
    node.hidden = everyM === null;
    setText(label, `A square every … ${sign}`);
    if (document.activeElement !== input) input.value = everyTyped;
    fault.hidden = !everyFault;
    setAttribute(input, 'aria-invalid', everyFault ? 'true' : null);
    setText(fault, everyFault ?? '');
  };
  return { node, show };
}

/** The sheet with all rows. */
function createList() {
  const body = el('tbody', {});
  const heading = el('caption', {});
  const head = el('tr', {}, ...['Point', 'Along', 'Square'].map((words) => el('th', { scope: 'col' }, words)));
  const sheet = createSheet({ title: 'Whole list', back: 'Back' }, el('table', { tabindex: '0' }, heading, el('thead', {}, head), body));
  const open = ({ list, listTitle }) => {
    setText(heading, listTitle);
    body.replaceChildren(...list.map(({ name, along, off }, i) => el('tr', {}, el('th', { scope: 'row' }, name || String(i + 1)), el('td', {}, along), el('td', {}, off))));
    sheet.open();
  };
  return { node: sheet.node, open };
}
