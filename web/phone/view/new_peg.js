// A new peg where the worker stands: its name, its kind, how well the place is known, note and photos.

import { el, setText } from './element.js';
import { createHoldButton } from './hold_button.js';
import { createReportPart } from './report_part.js';
import { createSegments } from './sheet.js';

/** {node, part, id(), setId(words), show(model)}; `onId()`, `onKind(kind)`, `onHold()`, `onSave()`, and those of the report part. */
export function createNewPeg({ onId, onKind, onHold, onSave, ...on }) {
  const name = el('input', { class: 'name', id: 'new-peg', type: 'text', autocomplete: 'off', autocapitalize: 'off', spellcheck: 'false', maxlength: 40, oninput: onId });
  const kinds = createSegments({ label: 'Kind of peg', onChoose: onKind });
  const [place, note] = [el('strong', {}), el('span', {})];
  const hold = createHoldButton({ onHold });
  const part = createReportPart({ id: 'new', ...on });
  const said = el('p', { class: 'peg-told', role: 'status', hidden: true });
  const save = el('button', { class: 'peg-act', type: 'button', 'data-act': 'found', onclick: onSave }, 'Save new peg');
  const kindRow = el('div', { class: 'field' }, el('strong', {}, 'Kind'), kinds.node);
  const node = el('div', { class: 'peg-page' },
    el('p', { class: 'board-lead' }, 'Drive it outside the dig, where no machine goes. Before driving it: have cables, drains and pipes located by those licensed to.'),
    el('div', { class: 'field' }, el('label', { for: 'new-peg' }, 'Name on the peg'), el('small', {}, 'Letters, digits and hyphens, at most 16.'), name), kindRow,
    el('div', { class: 'new-place' }, el('p', { class: 'peg-search-words' }, place, note), hold.node), part.node, said, el('div', { class: 'peg-acts' }, save));
  const show = (model) => {
    kinds.show(model.kinds, model.kind);
    kindRow.hidden = model.isFixed;
    name.readOnly = model.isFixed;
    setText(place, model.label);
    setText(note, model.note);
    hold.show(model.hold);
    said.hidden = model.said === '';
    setText(said, model.said);
    save.disabled = !model.canSave;
    part.show(model);
  };
  return { node, part, show, id: () => name.value.trim(), setId: (words) => { name.value = words; } };
}
