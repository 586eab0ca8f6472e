// The foot of a screen of the tape: the large button with the points before and after beside it, and undo above.

import { el } from './element.js';
import { createMarkButton } from './mark_button.js';

/** {node, button, show({button, toPegs, list})}; `steps` of view/point_steps.js, `onPress`, and `onPegs` where there is nothing to tape from. */
export function createTapeFoot({ steps, onPress, onPegs }) {
  const button = createMarkButton({ onPress });
  const pegs = el('button', { class: 'main-button', type: 'button', onclick: onPegs }, el('strong', {}, 'To the pegs'), el('span', {}, 'report or set one'));
  const row = el('div', { class: 'tape-act-row' }, steps.before, button.node, pegs, steps.next);
  const node = el('div', { class: 'tape-act' }, steps.undo, row);
  const show = (model) => {
    button.node.hidden = model.button === null;
    pegs.hidden = !model.toPegs;
    if (model.button !== null) button.show(model.button);
  };
  return { node, button, show };
}
