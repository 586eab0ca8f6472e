// A sheet over the page: a heading, what is on it, and one way back.

import { el } from './element.js';

/** A sheet: {node, open(), close(), isOpen()}; `back` is on the button that closes it. */
export function createSheet({ title, back = 'Back to the point' }, ...content) {
  const close = () => node.close();
  const node = el('dialog', { class: 'sheet', 'aria-label': title },
    el('h2', {}, title), el('div', { class: 'sheet-body' }, ...content),
    el('button', { class: 'sheet-back', type: 'button', onclick: close }, back));
  return { node, close, open: () => { if (!node.open) node.showModal(); }, isOpen: () => node.open };
}

/** A row of choices of which one is on: {node, show(options, chosen)} with options [[value, words], ...]. */
export function createSegments({ label, onChoose }) {
  const row = el('div', { class: 'segments', role: 'group', 'aria-label': label });
  let shown = '';
  const show = (options, chosen) => {
    const key = JSON.stringify([options, chosen]);
    if (key !== shown) row.replaceChildren(...options.map(([value, words]) => el('button', {
      class: 'segment', type: 'button', 'aria-pressed': String(value === chosen), onclick: () => onChoose(value),
    }, words)));
    shown = key;
  };
  return { node: row, show };
}

/** A list of named facts: {node, show([[name, words], ...])}. */
export function createFacts() {
  const list = el('dl', { class: 'facts' });
  const show = (rows) => list.replaceChildren(...rows.map(([name, words]) => el('div', {}, el('dt', {}, name), el('dd', {}, words))));
  return { node: list, show };
}
