// The page on which places of a site are read: what it is, hold still, keep; and what this phone has read.

import { el, setAttribute, setText } from './element.js';
import { createHoldButton } from './hold_button.js';
import { createSegments } from './sheet.js';

/** {node, show(model), showField(), typed(), setTyped({what, hole, name}), person(), setPerson(name)}; `on` has onWhat, onTyped, onHold, onSave, onUndo(id), onSend. */
export function createPlacesPage({ site, fieldHref, sitesHref, ...on }) {
  const person = input('person', { maxlength: 60, autocomplete: 'name' }, on.onTyped);
  const hole = input('hole', { maxlength: 3, inputmode: 'numeric' }, on.onTyped);
  const name = input('place-name', { maxlength: 40 }, on.onTyped);
  const kinds = createSegments({ label: 'What do you stand on?', onChoose: on.onWhat });
  const [nameLabel, holeLabel] = [el('label', { for: 'place-name' }), el('label', { for: 'hole' })];
  const [place, note] = [el('strong', {}), el('span', {})];
  const bar = el('progress', { class: 'stood', max: 1, value: 0, 'aria-label': 'Share of two minutes stood' });
  const hold = createHoldButton({ onHold: on.onHold });
  const [said, faults] = [el('p', { class: 'place-said', role: 'status', hidden: true }), el('p', { class: 'warning', role: 'alert', hidden: true })];
  const save = el('button', { class: 'main-button', type: 'button', onclick: on.onSave }, 'Keep this place');
  const nameField = el('div', { class: 'place-field' }, nameLabel, name);
  const toField = el('a', { class: 'field-plan', href: fieldHref, hidden: true }, 'Field page');
  const [send, list] = [el('strong', {}), el('ul', { class: 'places' })];
  const node = el('div', { class: 'field-page places-page' },
    el('header', { class: 'field-head' }, el('div', {}, el('h1', {}, 'Read places'), el('p', { class: 'kept' }, `for the site ${site}`))),
    el('div', { class: 'field-yard' }, faults,
      el('p', { class: 'place-lead' }, 'Watch for play and machines, not the screen. A phone\'s position is not a survey.'),
      el('div', { class: 'place-field' }, el('label', { for: 'person' }, 'Your name, for the record'), person),
      kinds.node,
      el('div', { class: 'place-fields' }, el('div', { class: 'place-field' }, holeLabel, hole), nameField),
      el('div', { class: 'place-now' }, el('p', { class: 'place-figure' }, place, note), bar, hold.node),
      said, save),
    el('section', { class: 'field-places', 'aria-label': 'Read on this phone' }, el('h2', {}, 'Read on this phone'), el('p', { class: 'place-sent' }, send,
      el('button', { class: 'tool', type: 'button', onclick: on.onSend }, 'Send now')), list,
      el('nav', { class: 'place-ways', 'aria-label': 'From here' }, toField,
        el('a', { class: 'field-plan', href: sitesHref }, 'Sites (needs signal)'))));
  const show = (model) => {
    kinds.show(model.kinds, model.what);
    setText(holeLabel, model.holeWords);
    setText(nameLabel, model.nameWords);
    nameField.hidden = model.nameWords === '';
    setText(place, model.label);
    setText(note, model.note);
    bar.value = model.share;
    hold.show(model.hold);
    told(said, model.said);
    told(faults, model.faults);
    setAttribute(save, 'data-ready', String(model.canSave));
    setText(send, model.send);
    showList(list, model.places, on.onUndo);
  };
  return {
    node, show, showField: () => { toField.hidden = false; }, person: () => person.value.trim(), setPerson: (words) => { person.value = words; },
    typed: () => ({ hole: hole.value.trim(), name: name.value.trim() }),
    setTyped: (typed) => { hole.value = typed.hole; name.value = typed.name; },
  };
}

const input = (id, more, oninput) => el('input', { id, class: 'name', type: 'text', autocomplete: 'off', autocapitalize: 'off', spellcheck: 'false', oninput, ...more });

function told(node, words) {
  node.hidden = words === '';
  setText(node, words);
}

function showList(list, places, onUndo) {
  const key = JSON.stringify(places);
  if (list.dataset.shown === key) return;
  list.dataset.shown = key;
  list.replaceChildren(...places.map(({ id, words }) => el('li', {}, el('span', {}, words),
    el('button', { class: 'tool', type: 'button', 'aria-label': `Take back: ${words}`, onclick: () => onUndo(id) }, 'Take back'))));
  if (places.length === 0) list.append(el('li', {}, 'Nothing yet.'));
}
