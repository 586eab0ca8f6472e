// The yardage check: pick a tee; how far from its plate I stand, and what the plan says.

import { el, setText } from './element.js';
import { createFacts, createSegments, createSheet } from './sheet.js';

/** The sheet: {node, open, isOpen, show(model)}. */
export function createYardageSheet({ onTee, onUnit, onCheck }) {
  const tees = createSegments({ label: 'Tee', onChoose: onTee });
  const units = createSegments({ label: 'Unit', onChoose: onUnit });
  const [value, sign] = [el('span', { class: 'figure-value' }), el('span', { class: 'figure-unit' })];
  const [range, bend] = [el('p', { class: 'range' }), el('p', { class: 'small' })];
  const facts = createFacts();
  const rows = el('tbody');
  const caption = el('caption');
  const plan = el('table', {}, caption, el('thead', {}, el('tr', {}, ...['', 'here', 'plan', 'apart'].map((h) => el('th', { scope: 'col' }, h)))), rows);
  const sheet = createSheet({ title: 'Yardage from the tee' }, tees.node,
    el('p', { class: 'figure' }, value, sign), range, facts.node, bend, plan, units.node);
  sheet.node.lastChild.before(el('button', { class: 'main-button', type: 'button', onclick: () => { sheet.close(); onCheck(); } }, 'Check an edge'));

  const show = ({ tees: options, tee, unit, check, planWords }) => {
    tees.show(options, tee);
    units.show([['yard', 'yards'], ['metre', 'metres']], unit);
    setText(value, check.straight?.[0] ?? '–');
    setText(sign, check.straight?.[1] ?? '');
    setText(range, check.range);
    facts.show([['Along the line of play', check.along ?? '–'], ['Off the line of play', check.side ?? '–']]);
    setText(bend, check.bend);
    bend.hidden = check.bend === '';
    setText(caption, planWords);
    rows.replaceChildren(...check.rows.map(([name, ...cells]) => el('tr', {}, el('th', { scope: 'row' }, name), ...cells.map((c) => el('td', {}, c)))));
    plan.tHead.hidden = check.rows.length === 0;
  };
  return { ...sheet, show };
}
