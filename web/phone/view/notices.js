// What must not be overlooked, in words, above everything else: storage that fails, records refused, no signal. The strip is
// one touch high however much there is to say; a tap brings the whole of it.

import { el, keepChildren, setAttribute, setText } from './element.js';
import { createSheet } from './sheet.js';

/** The notices: {node, sheet, show([{words, danger, acts: [{name, words, key}]}])}; `onAct(name, key)` when one of them is pressed. */
export function createNotices({ onAct }) {
  const [words, count] = [el('span', { class: 'notices-words' }), el('strong', { class: 'notices-count' })];
  const strip = el('button', { class: 'notices-strip', type: 'button', hidden: true, onclick: () => sheet.open() }, words, count);
  const node = el('div', { class: 'notices', role: 'alert' }, strip);
  const list = el('div', { class: 'notice-list' });
  const sheet = createSheet({ title: 'To read' }, list);
  const fill = createFilling(onAct);
  const make = () => el('div', { class: 'notice' }, el('p'), el('div', { class: 'notice-acts' }));
  const show = (notices) => {
    strip.hidden = notices.length === 0;
    strip.classList.toggle('is-danger', notices.some(({ danger }) => danger));
    setText(words, [...notices].sort((a, b) => b.danger - a.danger).map((notice) => notice.words).join(' '));
    setText(count, notices.length === 0 ? '' : `${notices.length} to read`);
    setAttribute(node, 'data-count', notices.length);
    keepChildren(list, notices.length, make).forEach((notice, i) => fill(notice, notices[i]));
    if (notices.length === 0) sheet.close();
  };
  return { node, sheet, show };
}

/** A function that fills one notice; its buttons are made anew only when they change. */
function createFilling(onAct) {
  const drawn = new WeakMap();
  return (notice, { words, danger, acts = [] }) => {
    setText(notice.firstChild, words);
    notice.classList.toggle('is-danger', danger);
    const key = JSON.stringify(acts);
    if (drawn.get(notice) === key) return;
    drawn.set(notice, key);
    notice.lastChild.replaceChildren(...acts.map((act) => el('button', {
      class: 'tool', type: 'button', onclick: () => onAct(act.name, act.key),
    }, act.words)));
  };
}
