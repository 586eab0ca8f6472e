// The receiver's details: its own figure, what it is taken as, age, latitude and longitude, and how long its errors last.

import { el, keepChildren, setText } from './element.js';
import { createFacts, createSheet } from './sheet.js';

/** The sheet: {node, open, isOpen, show({rows, lasting})}. `onLasting({minutes, percent})` returns words of a fault or null. */
export function createReceiverSheet({ onRestart, onLasting, onLastingBack }) {
  const facts = createFacts();
  const lasting = createLasting({ onLasting, onLastingBack });
  const sheet = createSheet({ title: 'How good the position is' }, facts.node,
    el('p', { class: 'small' }, 'A phone\'s errors change slowly: standing longer helps little. Whatever this shows, a phone\'s position is not a survey.'),
    el('button', { class: 'tool', type: 'button', onclick: onRestart }, 'Start the receiver again'),
    el('h3', {}, 'How long its errors last'), ...lasting.nodes);
  sheet.node.addEventListener('close', lasting.forget);
  const show = (model) => {
    facts.show(model.rows);
    lasting.show(model.lasting);
  };
  return { ...sheet, show };
}

/** Two figures to set: {nodes, show(model), forget()}. What is typed stays until it is used, the sheet closes or another is in force. */
function createLasting({ onLasting, onLastingBack }) {
  const [now, about] = [el('p'), el('div', { class: 'small' })];
  const fault = el('p', { class: 'field-missing', role: 'alert', hidden: true });
  const [percent, minutes] = ['lasting-percent', 'lasting-minutes'].map((id) => el('input', { class: 'name', id, type: 'text', inputmode: 'decimal', autocomplete: 'off', maxlength: '6' }));
  let filled = null;
  const say = (words) => {
    fault.hidden = words === null;
    setText(fault, words ?? '');
  };
  const use = () => say(onLasting({ minutes: minutes.value, percent: percent.value }));
  const back = el('button', { class: 'tool', type: 'button', onclick: onLastingBack });
  const field = (input, words) => el('div', { class: 'field' }, el('label', { for: input.id }, words), input);

  const show = (model) => {
    setText(now, model.now);
    keepChildren(about, model.about.length, () => el('p')).forEach((line, i) => setText(line, model.about[i]));
    back.hidden = model.back === null;
    setText(back, model.back ?? '');
    const key = `${model.percent} ${model.minutes} ${model.back}`;
    if (key === filled) return;
    [filled, percent.value, minutes.value] = [key, model.percent, model.minutes];
    say(null);
  };
  const nodes = [now, field(percent, 'Slow part, %'), field(minutes, 'It lasts about, minutes'), fault,
    el('div', { class: 'tools' }, el('button', { class: 'tool', type: 'button', onclick: use }, 'Use these'), back), about];
  return { nodes, show, forget: () => { filled = null; } };
}
