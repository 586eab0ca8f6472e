// The large button. A plain tap records; a doubtful mark asks for a second tap, and for a moment after a mark nothing more
// is taken, so that a bouncing or wet finger does not mark the next point too.

import { el, setAttribute, setText } from './element.js';

const ASK_MS = 5000;
const REST_MS = 900;

/** The button: {node, show(button), wait(words) until the next rest, rest(words), ask(words)}. `onPress(confirmed)`. */
export function createMarkButton({ onPress }) {
  const label = el('strong', {});
  const note = el('span', {});
  const node = el('button', { class: 'main-button', type: 'button' }, label, note);
  let shown = { label: '', note: '' };
  let held = null;
  let timer = null;

  const render = () => {
    setText(label, (held ?? shown).label);
    setText(note, (held ?? shown).note);
    note.hidden = note.textContent === '';
    setAttribute(node, 'data-state', held?.state ?? 'ready');
  };
  const hold = (state, text, more, ms) => {
    clearTimeout(timer);
    held = { state, label: text, note: more };
    if (ms !== null) timer = setTimeout(release, ms);
    render();
  };
  const release = () => { held = null; render(); };

  node.addEventListener('click', () => {
    if (held?.state === 'resting') return;
    const confirmed = held?.state === 'asking' && held.label === shown.label;
    held = null;
    onPress(confirmed);
    render();
  });

  return {
    node,
    show: (button) => { shown = button; if (held?.state === 'asking' && held.label !== shown.label) held = null; render(); },
    wait: (text, more) => hold('resting', text, more, null),
    rest: (text, more) => hold('resting', text, more, REST_MS),
    ask: (words) => hold('asking', shown.label, words, ASK_MS),
  };
}
