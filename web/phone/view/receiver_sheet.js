// The receiver's details: its own figure, what it is taken as, age, latitude and longitude.

import { el } from './element.js';
import { createFacts, createSheet } from './sheet.js';

/** The sheet: {node, open, isOpen, show(rows)}. */
export function createReceiverSheet({ onRestart }) {
  const facts = createFacts();
  const sheet = createSheet({ title: 'How good the position is' }, facts.node,
    el('p', { class: 'small' }, 'A phone\'s errors change slowly: standing longer helps little. Whatever this shows, a phone\'s position is not a survey.'),
    el('button', { class: 'tool', type: 'button', onclick: onRestart }, 'Start the receiver again'));
  return { ...sheet, show: facts.show };
}
