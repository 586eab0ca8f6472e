// Which bunker and which outline of it to paint, each with its progress.

import { el } from './element.js';
import { createSheet } from './sheet.js';

/** The sheet: {node, open, close, isOpen, show(bunkers)}. `onChoose({bunkerId, outlineId})`. */
export function createOutlineSheet({ onChoose }) {
  const list = el('div', { class: 'outline-list' });
  const sheet = createSheet({ title: 'What to paint' }, list);
  const show = (bunkers) => list.replaceChildren(...bunkers.flatMap((bunker) => [
    el('h3', {}, bunker.name),
    ...bunker.outlines.map((outline) => el('button', {
      class: 'outline-choice', type: 'button', 'aria-pressed': String(outline.chosen),
      onclick: () => { sheet.close(); onChoose({ bunkerId: bunker.id, outlineId: outline.id }); },
    }, el('strong', {}, outline.part), el('span', {}, outline.progress))),
  ]));
  return { ...sheet, show };
}
