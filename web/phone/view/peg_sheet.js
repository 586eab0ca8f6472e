// Standing on a peg, for a trial of the receiver or a check-in: choose the peg, stand, read what was found.

import { el, keepChildren, setText } from './element.js';
import { createFacts, createSheet } from './sheet.js';

/** The sheet: {node, open, close, isOpen, show(model)}. `on` holds choose(pegId), begin(), finish(), drop() and leave(). */
export function createPegSheet({ title, back, on }) {
  const [intro, current, lines, outcome] = ['intro', 'current', 'lines', 'outcome'].map((name) => el('div', { class: `peg-${name}` }));
  const drop = el('button', { class: 'tool', type: 'button', onclick: on.drop });
  const pegs = el('div', { class: 'outline-list', role: 'group', 'aria-label': 'Peg' });
  const [value, unit] = [el('span', { class: 'figure-value' }), el('span', { class: 'figure-unit' })];
  const figure = el('p', { class: 'figure' }, value, unit);
  const facts = createFacts();
  const go = el('button', { class: 'main-button', type: 'button', onclick: () => (shown.running ? on.finish() : on.begin()) });
  const sheet = createSheet({ title, back }, intro, figure, lines, outcome, current, facts.node, drop, pegs);
  sheet.node.lastChild.before(go);
  sheet.node.addEventListener('close', on.leave);
  let shown = {};

  const show = (model) => {
    shown = model;
    [[intro, model.intro], [current, model.current], [lines, model.running?.lines ?? []], [outcome, model.outcome]].forEach(fill);
    drop.hidden = model.drop === null;
    setText(drop, model.drop ?? '');
    showPegs(pegs, model.pegs, on.choose);
    figure.hidden = model.running === null;
    setText(value, model.running?.figure ?? '');
    setText(unit, model.running?.unit ?? '');
    facts.show(model.rows);
    go.hidden = model.go === null;
    go.disabled = !(model.go?.able ?? false);
    setText(go, model.go?.label ?? '');
  };
  return { ...sheet, show };
}

function fill([node, words]) {
  keepChildren(node, words.length, () => el('p')).forEach((line, i) => setText(line, words[i]));
  node.hidden = words.length === 0;
}

/** The pegs as choices; made anew only when they change, so that a finger on its way to one finds it. */
function showPegs(node, pegs, onChoose) {
  node.hidden = pegs.length === 0;
  const key = pegs.map(({ id }) => id).join();
  if (node.dataset.pegs !== key) {
    node.replaceChildren(...pegs.map(({ id }) => el('button', { class: 'outline-choice', type: 'button', onclick: () => onChoose(id) }, el('strong', {}), el('span', {}))));
    node.dataset.pegs = key;
  }
  pegs.forEach((peg, i) => {
    const [name, note] = node.children[i].children;
    node.children[i].setAttribute('aria-pressed', String(peg.chosen));
    setText(name, peg.words);
    setText(note, peg.note);
  });
}
