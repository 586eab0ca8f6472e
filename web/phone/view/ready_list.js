// The verdict before leaving the yard, and under it what was looked at, each by shape and words.

import { el, keepChildren, setAttribute, setText, svg } from './element.js';

const SHAPES = {
  good: 'M0 -17A17 17 0 0 1 0 17A17 17 0 0 1 0 -17Z',
  mind: 'M9 -14.4A17 17 0 1 0 17 0',
  bad: 'M-13 -13L13 13M13 -13L-13 13',
  checking: 'M-14 0H-13M0 0H1M13 0H14',
};
const VERDICT_SHAPE = { ready: 'good', 'not ready': 'bad', checking: 'checking' };

/** The list: {node, show(rows, verdict)}. */
export function createReadyList() {
  const verdict = { sign: createSign(), title: el('strong', {}), words: el('span', {}) };
  const strip = el('div', { class: 'ready-verdict', role: 'status' }, verdict.sign.node, el('p', {}, verdict.title, verdict.words));
  const list = el('ul', { class: 'ready-rows' });
  const show = (rows, { state, title, words }) => {
    setAttribute(strip, 'data-state', state);
    verdict.sign.show(VERDICT_SHAPE[state]);
    setText(verdict.title, title);
    setText(verdict.words, words);
    keepChildren(list, rows.length, createRow).forEach((node, i) => node.show(rows[i]));
  };
  return { node: el('div', {}, strip, list), show };
}

function createRow() {
  const [sign, title, words] = [createSign(), el('strong', {}), el('span', {})];
  const node = el('li', { class: 'ready-row' }, sign.node, el('p', {}, title, words));
  node.show = (row) => {
    setAttribute(node, 'data-state', row.state);
    setAttribute(node, 'data-key', row.key);
    sign.show(row.state);
    setText(title, row.title);
    setText(words, row.words);
  };
  return node;
}

function createSign() {
  const shape = svg('path', { class: 'sign' });
  const core = svg('circle', { class: 'sign-core', r: 6 });
  const show = (name) => {
    setAttribute(shape, 'd', SHAPES[name]);
    core.toggleAttribute('hidden', name !== 'good');
  };
  return { node: svg('svg', { viewBox: '-24 -24 48 48', 'aria-hidden': 'true' }, shape, core), show };
}
