// Which paint point: before, after or any, the outline it is of, and the undo of the last mark.

import { el, setText } from './element.js';
import { createSegments } from './sheet.js';
import { createTapeChoice } from './tape_choice.js';

/** {before, next, undo, choose, outlines, sheet: nodes, show({numbers, point, outlines, outlineId, undo})}; `on` holds outline, number, step, undo. */
export function createPointSteps(on) {
  let choices = [];
  const outlines = createSegments({ label: 'Outline', onChoose: on.outline });
  const numbers = createTapeChoice({ title: 'Which point', back: 'Back', onChoose: on.number });
  const tool = (words, act) => el('button', { class: 'tool', type: 'button', onclick: act }, words);
  const [choose, undo] = [tool('Choose point', () => numbers.open(choices)), tool('Undo', on.undo)];
  const [before, next] = [tool('Before', () => on.step(-1)), tool('Next', () => on.step(1))];
  const show = (model) => {
    choices = model.numbers.map(({ number, isPainted }) => ({ value: number, label: String(number), isOn: number === model.point?.number, isDone: isPainted }));
    outlines.node.hidden = model.outlines.length < 2;
    outlines.show(model.outlines, model.outlineId);
    choose.hidden = model.point === null;
    setText(undo, model.undo.label);
    undo.hidden = model.undo.isOff;
  };
  return { before, next, undo, choose, outlines: outlines.node, sheet: numbers.node, show };
}
