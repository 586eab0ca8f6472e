// The yardage check, in the order it is done: pick the tee and the edge, stand on it, read what comes of it, save it. What
// is saved stands right above the button, at any size of screen and text.

import { el, keepChildren, setText } from './element.js';
import { createHoldButton } from './hold_button.js';
import { createMarkButton } from './mark_button.js';
import { createFacts, createSegments, createSheet } from './sheet.js';
import { createVerdictStrip } from './verdict_strip.js';

/** The sheet: {node, open, isOpen, show(model), save: the large button}. `on` holds tee, edge, side, hold, saveCheck, undoCheck, leaveCheck. */
export function createCheckSheet({ on }) {
  const tees = createSegments({ label: 'Tee', onChoose: on.tee });
  const edges = createSegments({ label: 'Where you stand', onChoose: on.edge });
  const sides = createSegments({ label: 'Which way', onChoose: on.side });
  const [value, unit] = [el('span', { class: 'figure-value' }), el('span', { class: 'figure-unit' })];
  const [bunker, range, parts] = [el('p', { class: 'check-bunker' }), el('p', { class: 'range' }), el('p', { class: 'small' })];
  const [lines, told] = [el('div', { class: 'check-lines' }), el('div', { class: 'check-told', role: 'status' })];
  const strip = createVerdictStrip({ className: 'check-verdict' });
  const facts = createFacts();
  const undo = el('button', { class: 'tool', type: 'button', onclick: on.undoCheck });
  const hold = createHoldButton({ className: 'check-hold', onHold: on.hold });
  const save = createMarkButton({ onPress: on.saveCheck });
  const sheet = createSheet({ title: 'Yardage check' },
    el('div', { class: 'check-choices' }, bunker, tees.node, edges.node, sides.node),
    el('div', { class: 'check-result' }, el('p', { class: 'figure' }, value, unit), range, strip.node,
      el('div', { class: 'main-row' }, hold.node, save.node), told, lines),
    el('div', { class: 'check-rest' }, facts.node, parts, undo));
  sheet.node.classList.add('check');
  sheet.node.addEventListener('close', on.leaveCheck);

  const show = (model) => {
    setText(bunker, model.bunker);
    tees.show(model.tees, model.tee);
    edges.show(model.edges, model.edge);
    sides.show(model.sides, model.side);
    sides.node.hidden = model.sides.length === 0;
    setText(value, model.figure?.[0] ?? '–');
    setText(unit, model.figure?.[1] ?? '');
    [[range, model.range], [parts, model.parts]].forEach(([node, words]) => { setText(node, words); node.hidden = words === ''; });
    [[lines, model.lines], [told, model.told]].forEach(fill);
    strip.show(model.sign);
    facts.show(model.facts);
    hold.show(model.hold);
    save.show(model.save);
    save.node.disabled = !model.save.able;
    undo.hidden = model.undo === null;
    setText(undo, model.undo ?? '');
  };
  return { ...sheet, show, save };
}

function fill([node, words]) {
  keepChildren(node, words.length, () => el('p')).forEach((line, i) => setText(line, words[i]));
  node.hidden = words.length === 0;
}
