// The page of one peg: the way to it, what is known of it, and the reports.

import { el, keepChildren, setAttribute, setText } from './element.js';
import { createPegGrass } from './peg_grass.js';
import { pegSign } from './peg_sign.js';
import { createPhotoStrip } from './photo_strip.js';
import { createReportPart } from './report_part.js';

/** {node, part, show(model)}; `onReport(state)`, `onDriven()`, `onSetAgain()`, `onUndo()`, and those of the report part. */
export function createPegScreen({ onReport, onDriven, onSetAgain, onUndo, ...on }) {
  const grass = createPegGrass();
  const [figure, way] = [el('p', { class: 'peg-figure' }), el('div', { class: 'peg-way-words' })];
  const [search, made] = [el('strong', {}), el('span', {})];
  const [sign, words, told, note] = [el('span', { class: 'board-sign' }), el('strong', {}), el('span', {}), el('p', { class: 'peg-known-note' })];
  const known = createPhotoStrip({ label: 'Photos of this peg' });
  const part = createReportPart({ id: 'peg', ...on });
  const [said, undo] = [el('p', { class: 'peg-told', role: 'status', hidden: true }), el('button', { class: 'tool', type: 'button', onclick: onUndo })];
  const again = el('button', { class: 'tool', type: 'button', onclick: onSetAgain }, 'Set it again from other pegs');
  const reports = [['found', 'Found'], ['moved', 'Moved'], ['missing', 'Missing']]
    .map(([state, label]) => el('button', { class: 'peg-act', type: 'button', 'data-act': state, onclick: () => onReport(state) }, label));
  const driven = el('button', { class: 'peg-act', type: 'button', 'data-act': 'found', onclick: onDriven }, 'It is driven: where it stands');
  const acts = el('div', { class: 'peg-acts' }, said, ...reports, driven);
  const planned = el('p', { class: 'board-lead' }, 'Before driving it: have cables, drains and pipes located by those licensed to.');
  const node = el('div', { class: 'peg-page' },
    grass.node, el('div', { class: 'peg-figures' }, figure, way),
    el('p', { class: 'peg-search-words' }, search, made),
    el('div', { class: 'peg-known' }, sign, el('p', {}, words, told), note), undo, again, known.node, planned, part.node, acts);
  const show = (model) => {
    grass.show(model.picture);
    showParts(figure, model.parts);
    keepChildren(way, model.way.length, () => el('p', {})).forEach((line, i) => setText(line, model.way[i]));
    setText(search, model.search[0]);
    setText(made, model.search[1]);
    showKnown(model);
    said.hidden = model.said === '';
    setText(said, model.said);
    undo.hidden = model.undo === null;
    setText(undo, model.undo ?? '');
    again.hidden = !model.canSetAgain;
    part.node.hidden = model.isPlanned;
    planned.hidden = !model.isPlanned;
    driven.hidden = !model.isPlanned;
    reports.forEach((button) => { button.hidden = model.isPlanned; button.disabled = model.isBusy; });
    part.show(model);
  };
  const showKnown = (model) => {
    if (sign.dataset.state !== model.state) sign.replaceChildren(pegSign(model.state));
    setAttribute(sign, 'data-state', model.state);
    setText(words, model.words);
    setText(told, [model.kind, model.told].filter(Boolean).join(' · '));
    setText(note, model.note);
    note.hidden = model.note === '';
    known.show(model.known);
  };
  return { node, part, show };
}

function showParts(figure, parts) {
  const pieces = parts.flatMap(([value, unit]) => [['figure-value', value], ['figure-unit', unit]]);
  keepChildren(figure, pieces.length, () => el('span')).forEach((span, i) => {
    span.className = pieces[i][0];
    setText(span, pieces[i][1]);
  });
}
