// The smaller tools under the large button.

import { el, setAttribute, setText } from './element.js';

const REST_MS = 900;

/** The row: {node, show({undoLabel, canUndo, lineMode})}. Undo rests until `onUndo()` has settled, and for a moment at least. */
export function createToolRow({ onUndo, onNearest, onLine, onMore }) {
  let [canTakeBack, resting] = [false, false];
  const render = () => { undo.disabled = resting || !canTakeBack; };
  const takeBack = async () => {
    resting = true;
    render();
    await Promise.allSettled([onUndo(), new Promise((resolve) => { setTimeout(resolve, REST_MS); })]);
    resting = false;
    render();
  };
  const tool = (text, onclick) => el('button', { class: 'tool', type: 'button', onclick }, text);
  const [undo, nearest, line, more] = [tool('Undo', takeBack), tool('Nearest', onNearest), tool('Line', onLine), tool('More', onMore)];
  const node = el('div', { class: 'tools' }, undo, nearest, line, more);
  const show = ({ undoLabel, canUndo, lineMode }) => {
    setText(undo, undoLabel);
    canTakeBack = canUndo;
    render();
    nearest.disabled = lineMode;
    setAttribute(line, 'aria-pressed', lineMode);
  };
  return { node, show };
}
