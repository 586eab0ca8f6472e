// The large button. A finger holds it shortly to record; a doubtful mark asks once more, and for a moment after a mark
// nothing is taken, so that a bouncing or wet finger does not mark the next point too.

import { el, setAttribute, setText } from './element.js';
import { listenToPress } from './short_hold.js';

const ASK_MS = 5000;
const REST_MS = 900;
const SHORT_MS = 2500;

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

  listenToPress(node, {
    needsHold: () => shown.action === 'mark' && held?.state !== 'resting',
    onPress: () => {
      if (held?.state === 'resting') return;
      const confirmed = held?.state === 'asking' && held.label === shown.label;
      held = null;
      onPress(confirmed);
      render();
    },
    onTooShort: () => held?.state !== 'asking' && hold('short', shown.label, shown.holdWords, SHORT_MS),
  });

  return {
    node,
    show: (button) => { shown = button; if (held !== null && held.state !== 'resting' && held.label !== shown.label) held = null; render(); },
    wait: (text, more) => hold('resting', text, more, null),
    rest: (text, more) => hold('resting', text, more, REST_MS),
    ask: (words) => hold('asking', shown.label, words, ASK_MS),
  };
}
