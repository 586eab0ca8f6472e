// Hold still, and walk on: beside the large button, since the one often comes before the other.

import { el, setAttribute, setText } from './element.js';

/** The button: {node, show({label, note, on})}. */
export function createHoldButton({ onHold, className = 'hold-button' }) {
  const [label, note] = [el('strong', {}), el('span', {})];
  const node = el('button', { class: `hold ${className}`, type: 'button', onclick: onHold }, label, note);
  const show = (button) => {
    setText(label, button.label);
    setText(note, button.note);
    note.hidden = button.note === '';
    setAttribute(node, 'aria-pressed', button.on);
  };
  return { node, show };
}
