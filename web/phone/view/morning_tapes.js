// The distances to tape in a morning: one field each, what they say so far, and one more where that would tell more.

import { el, keepChildren, setText } from './element.js';
import { createSegments } from './sheet.js';
import { createVerdictStrip } from './verdict_strip.js';

/** The part: {node, show(model)}; `on` holds onTyped(i, text), onDrop(i), onWanted(), onPick(changes), onAddPicked() and onDone(). */
export function createMorningTapes(on) {
  const intro = el('p', {});
  const lines = el('div', { class: 'tape-lines' });
  const strip = createVerdictStrip({ className: 'morning-tapes-say' });
  const told = el('div', { class: 'entry-told', role: 'status' });
  const wanted = el('button', { class: 'tool', type: 'button', onclick: on.onWanted });
  const more = el('button', { class: 'tool', type: 'button', onclick: () => on.onPick({}) }, 'Another distance');
  const pick = createPick(on);
  const done = el('button', { class: 'main-button', type: 'button', onclick: on.onDone });
  const node = el('div', { class: 'morning-tape' }, intro, lines, el('div', { class: 'tools' }, more), pick.node,
    el('div', { class: 'tape-main' }, told, strip.node, el('div', { class: 'tape-main-row' }, done, wanted)));
  const make = (i) => createLine(i, on);

  const show = (model) => {
    setText(intro, model.intro);
    keepChildren(lines, model.lines.length, make).forEach((line, i) => showLine(line, model.lines[i]));
    keepChildren(told, model.told.length, () => el('p')).forEach((line, i) => setText(line, model.told[i]));
    told.hidden = model.told.length === 0;
    strip.node.hidden = model.strip === null;
    if (model.strip !== null) strip.show(model.strip);
    wanted.hidden = model.wanted === null;
    setText(wanted, model.wanted ?? '');
    more.hidden = model.pick !== null || !model.canPick;
    setText(done, model.done ?? 'Done taping');
    pick.node.hidden = model.pick === null;
    if (model.pick !== null) pick.show(model.pick);
  };
  return { node, show };
}

/** A tap scrolls nothing by itself where the field is in sight: the next one may lie under what sticks to the foot. */
const bringClear = ({ target }) => target.scrollIntoView({ block: 'nearest' });

function createLine(i, { onTyped, onDrop }) {
  const input = el('input', { class: 'entry-length', type: 'text', inputmode: 'decimal', autocomplete: 'off', oninput: (event) => onTyped(i, event.target.value), onfocus: bringClear });
  return el('div', { class: 'tape-line' }, el('label', { class: 'entry-field' }, el('span', {}), input),
    el('button', { class: 'tool', type: 'button', onclick: () => onDrop(i) }, 'Leave out'), el('p', { class: 'field-missing', role: 'alert' }));
}

function showLine(line, { label, value, fault }) {
  const [field, drop, missing] = line.children;
  setText(field.firstChild, label);
  if (field.lastChild.value !== value) field.lastChild.value = value;
  drop.setAttribute('aria-label', `Leave out ${label}`);
  missing.hidden = fault === null;
  setText(missing, fault ?? '');
}

function createPick({ onPick, onAddPicked }) {
  const rows = [['one', 'From'], ['other', 'to']].map(([name, label]) => {
    const pegs = createSegments({ label: `${label} peg`, onChoose: (id) => onPick({ [name]: id }) });
    return { name, pegs, node: el('div', { class: 'entry-pegs' }, el('span', { class: 'entry-label' }, label), pegs.node) };
  });
  const node = el('div', { class: 'tape-pick' }, ...rows.map((row) => row.node), el('button', { class: 'tool', type: 'button', onclick: onAddPicked }, 'Add this distance'));
  return { node, show: (pick) => rows.forEach(({ name, pegs }) => pegs.show(pick.pegs, pick[name])) };
}
