// PRACTICE in large letters, and whether the practice worker walks by itself.

import { el, setText } from './element.js';

/** The band: {node, show(on)}. */
export function createPracticeBand({ onWalk, onShow }) {
  let walking = false;
  const toggle = el('button', { class: 'tool walk', type: 'button', 'aria-pressed': 'false', onclick: () => press(!walking) }, 'Walk for me');
  const press = (on) => {
    walking = on;
    toggle.setAttribute('aria-pressed', String(on));
    setText(toggle, on ? 'Stand still' : 'Walk for me');
    onWalk(on);
  };
  const node = el('div', { class: 'practice', hidden: true }, el('strong', {}, 'PRACTICE'),
    el('span', { class: 'practice-hint' }, 'drag the grass ', el('span', { class: 'with-keys' }, 'or use the arrow keys')), toggle);
  const show = (on) => {
    node.hidden = !on;
    onShow(on);
    if (!on) press(false);
  };
  return { node, show };
}
