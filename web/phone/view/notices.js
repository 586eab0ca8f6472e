// What must not be overlooked, in words, above everything else: storage that fails, records refused, no signal.

import { el, keepChildren, setText } from './element.js';

/** The notices: {node, show([{words, danger, acts: [{name, words, key}]}])}; `onAct(name, key)` when one of them is pressed. */
export function createNotices({ onAct }) {
  const node = el('div', { class: 'notices', role: 'alert' });
  const drawn = new WeakMap();
  const fill = (notice, { words, danger, acts = [] }) => {
    setText(notice.firstChild, words);
    notice.classList.toggle('is-danger', danger);
    const key = JSON.stringify(acts);
    if (drawn.get(notice) === key) return;
    drawn.set(notice, key);
    notice.lastChild.replaceChildren(...acts.map((act) => el('button', {
      class: 'tool', type: 'button', onclick: () => onAct(act.name, act.key),
    }, act.words)));
  };
  const make = () => el('div', { class: 'notice' }, el('p'), el('div', { class: 'notice-acts' }));
  const show = (notices) => keepChildren(node, notices.length, make).forEach((notice, i) => fill(notice, notices[i]));
  return { node, show };
}
