// What goes with a report of a peg: where it is, in words, and photos of it.

import { el, setText } from './element.js';
import { createPhotoStrip } from './photo_strip.js';

const LONGEST_NOTE = 300;

/** {node, note(): as typed, setNote(words), show({photos, draftTold})}; `onNote(words)`, `onFile(file)`, `onRemove(id)`. */
export function createReportPart({ id, onNote, onFile, onRemove }) {
  const note = el('textarea', { class: 'name peg-note', id: `${id}-note`, rows: 3, maxlength: LONGEST_NOTE, oninput: () => onNote(note.value) });
  const strip = createPhotoStrip({ label: 'Photos to go with the report', onRemove });
  const told = el('p', { class: 'peg-told', role: 'status', hidden: true });
  const node = el('section', { class: 'peg-report', 'aria-label': 'To go with the report' },
    el('div', { class: 'field' }, el('label', { for: `${id}-note` }, 'How to find it, for whoever looks next'), note),
    el('div', { class: 'photo-ways' }, fileButton('Take a photo', { capture: 'environment' }, onFile), fileButton('Choose a picture', {}, onFile)),
    told, strip.node);
  const show = (model) => {
    strip.show(model.photos);
    told.hidden = model.draftTold === '';
    setText(told, model.draftTold);
  };
  return { node, show, note: () => note.value.trim(), setNote: (words) => { note.value = words; } };
}

/** A button that is a file input: the input lies over it, so that a tap, a key and a screen reader all reach it. */
function fileButton(words, more, onFile) {
  const input = el('input', { type: 'file', accept: 'image/*', 'aria-label': words, ...more, onchange: () => {
    const [file] = input.files;
    input.value = '';
    if (file) onFile(file);
  } });
  return el('div', { class: 'photo-way' }, el('span', { 'aria-hidden': 'true' }, words), input);
}
