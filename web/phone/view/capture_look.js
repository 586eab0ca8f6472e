// A measured line before it is saved: how true it is, what it is beside the drawn one, its points to correct.

import { el, keepChildren, setAttribute, setText } from './element.js';
import { createFacts, createSegments } from './sheet.js';
import { createVerdictStrip } from './verdict_strip.js';

/** The part: {node, show(model)}; `on` holds onCurve, onPoint, onTakeOut, onAfter and onSave. */
export function createCaptureLook(on) {
  const strip = createVerdictStrip({ className: 'capture-truth' });
  const facts = createFacts();
  const curve = createSegments({ label: 'From point to point', onChoose: on.onCurve });
  const remarks = el('div', { class: 'entry-told', role: 'status' });
  const points = el('ol', { class: 'point-list' });
  const [takeOut, after] = [el('button', { class: 'tool', type: 'button', onclick: on.onTakeOut }), el('button', { class: 'tool', type: 'button', onclick: on.onAfter })];
  const acts = el('div', { class: 'tools' }, takeOut, after);
  const [label, note] = [el('strong', {}), el('span', {})];
  const save = el('button', { class: 'main-button', type: 'button', onclick: on.onSave }, label, note);
  const node = el('div', { class: 'capture-look' }, strip.node, remarks, el('div', { class: 'tape-main' }, save), facts.node, curve.node, acts, points);

  const show = (model) => {
    strip.show(model.truth);
    keepChildren(remarks, model.remarks.length, () => el('p')).forEach((line, i) => setText(line, model.remarks[i]));
    remarks.hidden = model.remarks.length === 0;
    facts.show(model.facts);
    curve.node.hidden = model.curve === null;
    curve.show([['smooth', 'Smooth line'], ['straight', 'Straight pieces']], model.curve);
    acts.hidden = model.acts === null;
    setText(takeOut, model.acts?.takeOut ?? '');
    setText(after, model.acts?.after ?? '');
    showPoints(points, model.points, on.onPoint);
    setAttribute(save, 'data-state', model.save.isAsking ? 'asking' : 'ready');
    save.disabled = !model.save.able;
    setText(label, model.save.label);
    setText(note, model.save.note);
  };
  return { node, show };
}

function showPoints(list, points, onPoint) {
  list.hidden = points.length === 0;
  const make = (i) => el('li', {}, el('button', { class: 'point-row', type: 'button', onclick: () => onPoint(i + 1) }, el('strong', {}, String(i + 1)), el('span', {})));
  keepChildren(list, points.length, make).forEach((item, i) => {
    setAttribute(item.firstChild, 'aria-pressed', String(points[i].isChosen));
    setText(item.firstChild.lastChild, points[i].words);
  });
}
