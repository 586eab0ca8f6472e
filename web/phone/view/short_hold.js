// Pressing a button that must not be pressed by accident. Wet glass, a sleeve and a phone going into a pocket make ghost
// taps, and they are short: so a finger has to stay for a moment, while the button fills. A mouse, a key or a screen
// reader makes no ghost taps and acts at once.

const HOLD_MS = 450;
const ECHO_MS = 700;

/** Listen to presses of `node`: `onPress()` when one counts, `onTooShort()` after a touch that ended too soon; `needsHold()` says whether a finger has to stay now. */
export function listenToPress(node, { needsHold, onPress, onTooShort }) {
  let finger = null;
  let timer = null;
  let touchedAt = -Infinity;
  const end = () => {
    clearTimeout(timer);
    finger = null;
    node.classList.remove('is-filling');
  };

  node.addEventListener('pointerdown', (event) => {
    if (!isFinger(event) || finger !== null || !needsHold()) return;
    finger = { id: event.pointerId, done: false };
    node.classList.add('is-filling');
    timer = setTimeout(() => {
      finger.done = true;
      node.classList.remove('is-filling');
      onPress();
    }, HOLD_MS);
  });
  node.addEventListener('pointerup', (event) => {
    if (finger?.id !== event.pointerId) return;
    const { done } = finger;
    touchedAt = event.timeStamp;
    end();
    if (!done) onTooShort();
  });
  node.addEventListener('pointermove', (event) => {
    if (finger?.id === event.pointerId && !isOver(node, event)) end();
  });
  node.addEventListener('pointercancel', end);
  node.addEventListener('contextmenu', (event) => event.preventDefault());
  // What a browser makes of the touch afterwards is not a press of its own; a key or a screen reader has a detail of 0.
  node.addEventListener('click', (event) => {
    if (event.detail === 0 || event.timeStamp - touchedAt > ECHO_MS) onPress();
  });
}

/** A real finger or pen. A screen reader's touch has no size. */
function isFinger({ pointerType, width, height }) {
  return (pointerType === 'touch' || pointerType === 'pen') && !(width === 0 && height === 0);
}

function isOver(node, { clientX, clientY }) {
  const { left, right, top, bottom } = node.getBoundingClientRect();
  return clientX >= left && clientX <= right && clientY >= top && clientY <= bottom;
}
