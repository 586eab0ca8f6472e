// How the sheet lies, by words: closer, farther, the bunker, the whole hole, play or north up, and which layers are shown.

import { el } from '../../phone/view/element.js';

const CLOSER = 1.5;

/** Wire the words under the sheet; gives `look(name)`. */
export function createLook(sheet, layers) {
  const acts = {
    closer: () => sheet.look.zoom(CLOSER),
    farther: () => sheet.look.zoom(1 / CLOSER),
    bunker: sheet.look.bunker,
    whole: sheet.look.whole,
    stand: (button) => {
      const isNorth = button.getAttribute('aria-pressed') !== 'true';
      button.setAttribute('aria-pressed', String(isNorth));
      sheet.look.stand(isNorth ? 'north' : 'play');
    },
  };
  document.querySelectorAll('[data-look]').forEach((button) => button.addEventListener('click', () => acts[button.dataset.look](button)));
  layers.replaceChildren(...sheet.layers.map(([name, words]) => {
    const tick = el('input', { type: 'checkbox', checked: true, onchange: () => sheet.look.layer(name, tick.checked) });
    return el('label', { class: 'tick' }, tick, ` ${words}`);
  }));
  return (name) => acts[name]();
}
