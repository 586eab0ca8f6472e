// The first thing seen: what to mind, which receiver, who paints, and one large button.

import { el } from './element.js';

const CAUTIONS = [
  ['Before digging', 'have buried cables, drains and pipes located by those licensed to do it.'],
  ['While walking', 'watch for play and machines, not the screen.'],
  ['A phone\'s position', 'is not a survey and never a boundary.'],
];
const RECEIVERS = [
  ['phone', 'This phone', 'out on the ground'],
  ['practice phone', 'Practise, like a phone', 'indoors; good to about 4 m'],
  ['practice centimetre', 'Practise, like a survey receiver', 'indoors; good to about 1 cm'],
];

/** The panel: {node}. `onStart({receiver, person})` comes from the tap itself. */
export function createStartPanel({ title, place, person, receiver, warnings, fieldUrl, onStart }) {
  const name = el('input', { id: 'person', class: 'name', type: 'text', autocomplete: 'name', maxlength: '60', value: person });
  const missing = el('p', { class: 'field-missing', role: 'alert', hidden: true }, 'Write your name first: every mark carries it.');
  const choices = RECEIVERS.map(([value, words, note]) => receiverChoice(value, words, note, value === receiver));
  const start = () => {
    const chosen = choices.find((c) => c.querySelector('input').checked);
    const written = name.value.trim();
    missing.hidden = written !== '';
    if (written === '') {
      name.focus({ preventScroll: true });
      missing.parentNode.scrollIntoView({ block: 'center' });
      return undefined;
    }
    return onStart({ receiver: chosen.querySelector('input').value, person: written });
  };
  const form = el('form', { class: 'start', onsubmit: (event) => { event.preventDefault(); start(); } },
    el('header', { class: 'start-head' }, el('div', {}, el('h1', {}, title), el('p', {}, place))),
    ...warnings.map((words) => el('p', { class: 'warning', role: 'alert' }, words)),
    el('ul', { class: 'cautions' }, ...CAUTIONS.map(([what, words]) => el('li', {}, el('strong', {}, `${what} `), words))),
    el('fieldset', { class: 'choices' }, el('legend', {}, 'Receiver'), ...choices),
    el('div', { class: 'field' }, el('label', { for: 'person' }, 'Your name, for the record'), missing, name),
    el('button', { class: 'main-button', type: 'submit' }, 'Start'),
    el('a', { class: 'way-back', href: fieldUrl }, 'All bunkers of this site'));
  return { node: form };
}

function receiverChoice(value, words, note, checked) {
  return el('label', { class: 'choice' },
    el('input', { type: 'radio', name: 'receiver', value, checked }),
    el('span', { class: 'choice-words' }, el('strong', {}, words), el('small', {}, note)));
}

/** The cautions once more, for the sheet of everything else. */
export function cautionList() {
  return el('ul', { class: 'cautions' }, ...CAUTIONS.map(([what, words]) => el('li', {}, el('strong', {}, `${what} `), words)));
}
