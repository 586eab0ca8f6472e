// What helps hands, ears and eyes, each to be switched off, and how bright the page is.

import { el } from './element.js';
import { createSegments } from './sheet.js';

/** The switches: {node, show({switches, grounds, ground})}. `onAid(name, value)`. */
export function createAidSwitches({ onAid }) {
  const list = el('div', { class: 'switches' });
  const grounds = createSegments({ label: 'How bright', onChoose: (ground) => onAid('ground', ground) });
  const node = el('div', { class: 'aids' }, list, el('h3', {}, 'How bright'), grounds.node);
  let shown = '';
  const show = (model) => {
    const key = JSON.stringify(model);
    if (key === shown) return;
    shown = key;
    const focused = [...list.children].indexOf(document.activeElement);
    list.replaceChildren(...model.switches.map(({ name, words, note, on, able }) => el('button', {
      class: 'switch', type: 'button', role: 'switch', 'aria-checked': String(on && able), disabled: !able,
      onclick: () => onAid(name, !on),
    }, el('span', { class: 'switch-words' }, el('strong', {}, words), el('small', {}, note)), el('span', { class: 'switch-state', 'aria-hidden': 'true' }, on && able ? 'on' : 'off'))));
    grounds.show(model.grounds, model.ground);
    list.children[focused]?.focus();
  };
  return { node, show };
}

/** How bright the page is: 'light', 'dusk', or 'phone' for as the phone itself is set. */
export function setGround(ground) {
  document.documentElement.dataset.ground = ground;
}
