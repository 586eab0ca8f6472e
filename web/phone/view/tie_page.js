// One paint point and the distances to tape to it.

import { el, setText } from './element.js';
import { createPointSteps } from './point_steps.js';
import { createTapeChoice } from './tape_choice.js';
import { createTapeFigures } from './tape_figures.js';
import { createTapeFoot } from './tape_foot.js';
import { createTapeSketch } from './tape_sketch.js';

/** The screen: {node, button, show(model)}; `on` holds outline(id), number(n), step(±1), peg(id or null), press(), undo(), toPegs(). */
export function createTiePage(on) {
  let choices = [];
  const sketch = createTapeSketch();
  const [title, progress] = [el('h2', {}), el('p', {})];
  const figures = createTapeFigures();
  const steps = createPointSteps(on);
  const pegs = createTapeChoice({ title: 'Which pegs to use', back: 'Done', stays: true, onChoose: on.peg });
  const foot = createTapeFoot({ steps, onPress: on.press, onPegs: on.toPegs });
  const pegTool = el('button', { class: 'tool', type: 'button', onclick: () => pegs.open(choices) });
  const node = el('div', { class: 'tape-screen' }, sketch.node, el('div', { class: 'tape-steps' },
    el('div', { class: 'tape-title' }, title, progress), figures.node,
    el('div', { class: 'tools' }, steps.choose, pegTool), steps.outlines, figures.basis), foot.node, steps.sheet, pegs.node);
  const show = (model) => {
    sketch.show(model.sketch, model.side ?? model.why.title);
    setText(title, `Point ${model.point.number}`);
    setText(progress, model.progress);
    figures.show(model);
    steps.show(model);
    setText(pegTool, `Pegs: ${model.pegWords}`);
    pegTool.hidden = model.pegs.length === 0;
    foot.show(model);
    choices = pegChoices(model);
    pegs.show(choices);
  };
  return { node, button: foot.button, show };
}

const pegChoices = ({ pegs }) => [{ value: null, label: 'Best of all', isOn: !pegs.some(({ isOn }) => isOn) }]
  .concat(pegs.map(({ id, isOn }) => ({ value: id, label: id, isOn })));
