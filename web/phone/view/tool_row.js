// The smaller tools under the large button.

import { el, setAttribute, setText } from './element.js';

/** The row: {node, show({undo, canUndo, lineMode})}. */
export function createToolRow({ onUndo, onNearest, onLine, onMore }) {
  const tool = (text, onclick) => el('button', { class: 'tool', type: 'button', onclick }, text);
  const [undo, nearest, line, more] = [tool('Undo', onUndo), tool('Nearest', onNearest), tool('Line', onLine), tool('More', onMore)];
  const node = el('div', { class: 'tools' }, undo, nearest, line, more);
  const show = ({ undoLabel, canUndo, lineMode }) => {
    setText(undo, undoLabel);
    undo.disabled = !canUndo;
    nearest.disabled = lineMode;
    setAttribute(line, 'aria-pressed', lineMode);
  };
  return { node, show };
}
