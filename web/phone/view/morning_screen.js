// The screen of the morning check, in three parts: its steps and verdict, the distances to tape, the pegs to see.

import { el, keepChildren, setAttribute, setText } from './element.js';
import { createMorningPegs } from './morning_pegs.js';
import { createMorningTapes } from './morning_tapes.js';
import { createVerdictStrip } from './verdict_strip.js';

/** The screen: {node, show(part, model)}; `on` holds what each part calls. */
export function createMorningScreen(on) {
  const parts = { steps: createSteps(on), tape: createMorningTapes(on), pegs: createMorningPegs(on) };
  const node = el('div', { class: 'morning' }, ...Object.values(parts).map((part) => part.node));
  const show = (now, model) => {
    Object.entries(parts).forEach(([name, part]) => { part.node.hidden = name !== now; });
    parts[now].show(model);
  };
  return { node, show };
}

function createSteps({ onAct }) {
  const strip = createVerdictStrip({ className: 'morning-verdict' });
  const notes = el('div', { class: 'entry-told', role: 'status' });
  const list = el('ol', { class: 'steps', 'aria-label': 'Steps' });
  const [label, note] = [el('strong', {}), el('span', {})];
  const main = el('button', { class: 'main-button', type: 'button', onclick: () => onAct(shown.main.name) }, label, note);
  const other = el('button', { class: 'tool', type: 'button', onclick: () => onAct(shown.other.name) });
  const node = el('div', { class: 'morning-steps' }, list, strip.node, notes, el('div', { class: 'tape-main' }, el('div', { class: 'tape-main-row' }, main, other)));
  let shown = null;
  const make = (i) => el('li', {}, el('button', { class: 'step', type: 'button', onclick: () => onAct(shown.steps[i].name) },
    el('span', { class: 'step-number', 'aria-hidden': 'true' }, String(i + 1)),
    el('span', { class: 'step-words' }, el('strong', {}), el('span', {})), el('span', { class: 'step-done' })));

  const show = (model) => {
    shown = model;
    keepChildren(list, model.steps.length, make).forEach((item, i) => showStep(item.firstChild, model.steps[i]));
    strip.show(model.strip);
    keepChildren(notes, model.notes.length, () => el('p')).forEach((line, i) => setText(line, model.notes[i]));
    notes.hidden = model.notes.length === 0;
    setText(label, model.main.label);
    setText(note, model.main.note ?? '');
    note.hidden = !model.main.note;
    other.hidden = model.other === null;
    setText(other, model.other?.label ?? '');
  };
  return { node, show };
}

function showStep(button, step) {
  const [, words, done] = button.children;
  setText(words.firstChild, step.label);
  setText(words.lastChild, step.words);
  setText(done, step.isDone ? step.end ?? 'done' : '');
  setAttribute(button, 'data-state', step.isDone ? 'done' : 'open');
}
