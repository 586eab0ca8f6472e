// Distances between pegs on a sketch of them, what they say, and where a moved peg is now.

import { el, setText } from './element.js';
import { createMorningTapes } from './morning_tapes.js';
import { createFacts } from './sheet.js';
import { createTapeSketch } from './tape_sketch.js';

/** The screen: {node, show(model)}; `on` holds what the distances call, and onOther(), which takes back what was saved. */
export function createMovedScreen(on) {
  const sketch = createTapeSketch();
  const tapes = createMorningTapes(on);
  const facts = createFacts();
  const other = el('button', { class: 'tool', type: 'button', onclick: on.onOther });
  const heading = el('h2', {}, 'What was found');
  const found = el('section', { class: 'moved-found' }, heading, facts.node, other);
  const node = el('div', { class: 'moved morning' }, sketch.node, tapes.node, found);

  const show = (model) => {
    sketch.node.hidden = model.sketch === null;
    if (model.sketch !== null) sketch.show(model.sketch, `The pegs and the distances between them. ${model.strip.title}.`);
    tapes.show(model);
    facts.show(model.facts);
    found.hidden = model.facts.length === 0 && model.other === null;
    other.hidden = model.other === null;
    setText(other, model.other ?? '');
  };
  return { node, show };
}
